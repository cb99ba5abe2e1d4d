import Foundation
import HosewrightCore

/// Scanning: a camera's frames, a chip, or a typed code, to the answer.
@MainActor
public final class ScanScreen: Screen<Answer> {
    private var lastSeen: [String] = []
    /// The text of the tag that was answered last; it names a hose that has no record here.
    public private(set) var lastText: String?

    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Texts that were seen in a frame. The same texts are asked once.
    public func seen(_ texts: [String]) {
        if asking > 0 || texts.isEmpty || texts == lastSeen { return }
        lastSeen = texts
        ask({ logbook, moment in try logbook.answerSeen(texts: texts, moment: moment) }) { [weak self] answer in
            self?.tell(answer, texts.count == 1 ? texts.first : nil)
        }
    }

    /// A code, the beginning of one, or a text from a hand-held reader.
    public func typed(_ text: String) {
        ask({ logbook, moment in try logbook.answer(typed: text, moment: moment) }) { [weak self] answer in
            self?.tell(answer, text)
        }
    }

    /// The message of a chip; no bytes are an empty chip.
    public func chip(_ message: Data) {
        let content = chipContent(message: message)
        guard let text = content.text else {
            trouble = Trouble(RefusedError.Chip(words: content.words))
            return
        }
        ask({ logbook, moment in try logbook.answerSeen(texts: [text], moment: moment) }) { [weak self] answer in
            self?.tell(answer, text)
        }
    }

    /// The screen is looked at again: what lies before the camera counts anew.
    public func resume() {
        lastSeen = []
        trouble = nil
        shown = nil
    }

    private func tell(_ answer: Answer, _ text: String?) {
        lastText = text
        shown = answer
    }
}

/// An answer with what happened to the hose.
public struct HoseShown: Sendable {
    public let answer: Answer
    public let history: [HistoryLine]
}

/// One hose: its answer, and care that takes a single touch.
@MainActor
public final class HoseScreen: Screen<HoseShown> {
    private let text: String
    /// The tag as a picture, once it was asked for.
    public private(set) var picture: TagPicture?

    /// A hose by whatever names it.
    public init(desk: Desk, text: String) {
        self.text = text
        super.init(desk: desk)
    }

    /// Asks for the answer, when the screen is looked at.
    public func load() {
        let text = text
        write { logbook, moment in try logbook.answer(typed: text, moment: moment) }
    }

    /// New O-rings at an end, `a` or `b`.
    public func reseal(end: String) {
        let code = code
        write { logbook, moment in try logbook.reseal(typed: code, end: end, moment: moment) }
    }

    /// It was soaked, cleaned and dried.
    public func clean() {
        let code = code
        write { logbook, moment in try logbook.clean(typed: code, moment: moment) }
    }

    /// It is out of service for good.
    public func retire(why: String) {
        let code = code
        write { logbook, moment in try logbook.retire(typed: code, why: why, moment: moment) }
    }

    /// Draws the tag for a printer.
    public func drawTag(size: String = "20mm", dotsAnInch: UInt16 = 300) {
        let code = code
        ask({ logbook, _ in try logbook.tagPicture(typed: code, format: .png, size: size, dpi: dotsAnInch) }) { [weak self] picture in
            self?.picture = picture
        }
    }

    private var code: String { shown?.answer.code ?? text }

    private func write(_ work: @escaping @Sendable (Logbook, Moment) throws -> Answer) {
        ask({ logbook, moment in
            let answer = try work(logbook, moment)
            let history = answer.onRecord ? try logbook.history(typed: answer.code) : []
            return HoseShown(answer: answer, history: history)
        }) { [weak self] hose in
            self?.shown = hose
        }
    }
}

/// Looking a hose over: each touch is kept before the next.
@MainActor
public final class InspectionScreen: Screen<InspectionForm> {
    private let code: String
    private let kind: Inspection
    private var filled: FilledIn?
    /// The answer, once it was written down.
    public private(set) var finished: Answer?

    /// The form for a hose.
    public init(desk: Desk, code: String, kind: Inspection) {
        self.code = code
        self.kind = kind
        super.init(desk: desk)
    }

    /// Asks for the form, as far as it is filled in.
    public func load() {
        let (code, kind) = (code, kind)
        ask({ logbook, moment in try logbook.inspection(typed: code, kind: kind, moment: moment) }) { [weak self] form in
            self?.show(form)
        }
    }

    /// Looked at, nothing found.
    public func nothingFound(_ checkpoint: String) {
        tick(checkpoint) { _ in [] }
    }

    /// Something found, or taken back where it was found already.
    public func toggle(_ checkpoint: String, _ choice: FindingChoice) {
        tick(checkpoint) { found in
            found.contains(choice.seen) ? found.filter { $0 != choice.seen } : found + [choice.seen]
        }
    }

    /// Something counted; none takes it back.
    public func counted(_ checkpoint: String, _ choice: FindingChoice, count: UInt?) {
        tick(checkpoint) { found in
            let others = found.filter { !$0.hasPrefix(choice.seen) }
            guard let count else { return others }
            return others + ["\(choice.seen)\(count)"]
        }
    }

    /// Not looked at after all.
    public func untick(_ checkpoint: String) {
        fill { before in
            FilledIn(
                ticked: before.ticked.filter { $0.checkpoint != checkpoint },
                passed: before.passed, pressure: before.pressure, note: before.note)
        }
    }

    /// The result of a leak test, and its pressure as typed.
    public func result(passed: Bool?, pressure: String?) {
        fill { before in
            FilledIn(ticked: before.ticked, passed: passed, pressure: pressure, note: before.note)
        }
    }

    /// A note.
    public func note(_ text: String) {
        fill { before in
            FilledIn(ticked: before.ticked, passed: before.passed, pressure: before.pressure, note: text)
        }
    }

    /// Writes it down.
    public func finish() {
        let (code, kind) = (code, kind)
        ask({ logbook, moment in
            try logbook.finishInspection(typed: code, kind: kind, moment: moment)
        }) { [weak self] answer in
            self?.finished = answer
        }
    }

    /// Drops what is filled in, and begins anew.
    public func drop() {
        let (code, kind) = (code, kind)
        ask({ logbook, moment in
            try logbook.dropInspection(typed: code, kind: kind)
            return try logbook.inspection(typed: code, kind: kind, moment: moment)
        }) { [weak self] form in
            self?.show(form)
        }
    }

    private func tick(_ checkpoint: String, _ found: ([String]) -> [String]) {
        fill { before in
            let was = before.ticked.first { $0.checkpoint == checkpoint }?.findings ?? []
            let others = before.ticked.filter { $0.checkpoint != checkpoint }
            return FilledIn(
                ticked: others + [Ticked(checkpoint: checkpoint, findings: found(was))],
                passed: before.passed, pressure: before.pressure, note: before.note)
        }
    }

    private func fill(_ change: (FilledIn) -> FilledIn) {
        guard let before = filled else { return }
        let after = change(before)
        filled = after
        let (code, kind) = (code, kind)
        ask({ logbook, moment in
            try logbook.fillIn(typed: code, kind: kind, filled: after, moment: moment)
        }, refused: { [weak self] in
            // What the core refuses is not filled in.
            if self?.filled == after { self?.filled = self?.shown?.filled }
        }) { [weak self] form in
            self?.show(form)
        }
    }

    private func show(_ form: InspectionForm) {
        shown = form
        if asking == 0 { filled = form.filled }
    }
}

/// A guided swap. Each answer is on record before the next step is shown.
@MainActor
public final class SwapScreen: Screen<SwapShown> {
    private let old: String
    private let new: String
    /// The port that was chosen for the new hose; none for that of the old one.
    public private(set) var port: String?
    /// The old hose's answer, where the swap was given up.
    public private(set) var givenUp: Answer?

    /// A swap of two hoses.
    public init(desk: Desk, old: String, new: String) {
        self.old = old
        self.new = new
        super.init(desk: desk)
    }

    /// Asks where the swap stands.
    public func load() {
        let (old, new, port) = (old, new, port)
        ask({ logbook, moment in
            try logbook.swap(old: old, new: new, port: port, moment: moment)
        }) { [weak self] swap in
            self?.shown = swap
        }
    }

    /// Chooses one of the other ports, before the swap is begun; it counts once it is shown.
    public func into(_ other: String) {
        let (old, new) = (old, new)
        ask({ logbook, moment in
            try logbook.swap(old: old, new: new, port: other, moment: moment)
        }) { [weak self] swap in
            self?.port = other
            self?.shown = swap
        }
    }

    /// Answers the step that is shown: a button's answer, a scanned tag, or what was typed.
    public func answer(_ text: String) {
        guard let step = shown?.next?.name else { return }
        let (old, new, port) = (old, new, port)
        ask({ logbook, moment in
            try logbook.swapAnswer(old: old, new: new, port: port, step: step, answer: text, moment: moment)
        }) { [weak self] swap in
            self?.shown = swap
        }
    }

    /// Gives the swap up; what was done stays on record.
    public func giveUp(why: String) {
        let (old, new) = (old, new)
        ask({ logbook, moment in
            try logbook.swapGiveUp(old: old, new: new, why: why, moment: moment)
        }) { [weak self] answer in
            self?.givenUp = answer
        }
    }
}

/// Handing a set out: every hose is scanned, in any order.
@MainActor
public final class HandOutScreen: Screen<HandOut> {
    private let set: String
    /// What is said once the set is out.
    public private(set) var done: HandedOut?

    /// The hand-out of a set.
    public init(desk: Desk, set: String) {
        self.set = set
        super.init(desk: desk)
    }

    /// Asks how the hand-out stands.
    public func load() {
        let set = set
        ask({ logbook, moment in try logbook.handOut(set: set, moment: moment) }) { [weak self] check in
            self?.shown = check
        }
    }

    /// A hose was scanned, or its code typed.
    public func scan(_ text: String) {
        let set = set
        ask({ logbook, moment in
            try logbook.handOutScan(set: set, text: text, moment: moment)
        }) { [weak self] check in
            self?.shown = check
        }
    }

    /// Something was scanned by mistake.
    public func unscan(_ text: String) {
        let set = set
        ask({ logbook, moment in
            try logbook.handOutUnscan(set: set, text: text, moment: moment)
        }) { [weak self] check in
            self?.shown = check
        }
    }

    /// Begins the scanning anew.
    public func anew() {
        let set = set
        ask({ logbook, moment in
            logbook.handOutAnew(set: set)
            return try logbook.handOut(set: set, moment: moment)
        }) { [weak self] check in
            self?.shown = check
        }
    }

    /// Hands it out; a reason lifts what can be lifted.
    public func finish(ticket: String, overrideWhy: String? = nil) {
        let set = set
        ask({ logbook, moment in
            try logbook.handOutFinish(set: set, ticket: ticket, overrideWhy: overrideWhy, moment: moment)
        }) { [weak self] done in
            self?.done = done
        }
    }
}

/// Taking a set back: the dives, and a quick look at each hose.
@MainActor
public final class ReturnScreen: Screen<ReturnForm> {
    private let set: String
    /// What is said once the set is back.
    public private(set) var done: TakenBack?

    /// The return of a set.
    public init(desk: Desk, set: String) {
        self.set = set
        super.init(desk: desk)
    }

    /// What can be seen on the hose that is looked at just now.
    public private(set) var looking: InspectionForm?

    /// A hose is looked at: asks what can be seen on it.
    public func look(_ hose: String) {
        ask({ logbook, moment in
            try logbook.inspection(typed: hose, kind: .quick, moment: moment)
        }) { [weak self] form in
            self?.looking = form
        }
    }

    /// Asks how the return stands.
    public func load() {
        let set = set
        ask({ logbook, moment in try logbook.takeBack(set: set, moment: moment) }) { [weak self] form in
            self?.shown = form
        }
    }

    /// The dives that were made with each hose.
    public func dives(_ count: UInt32) {
        fill(dives: count, seen: shown?.seen ?? [])
    }

    /// Something was seen on a hose, or taken back where it was seen already.
    public func toggle(hose: String, seen: String) {
        let there = SeenOn(hose: hose, seen: seen)
        let before = shown?.seen ?? []
        let after = before.contains(there) ? before.filter { $0 != there } : before + [there]
        fill(dives: shown?.dives ?? 0, seen: after)
    }

    /// Takes it back.
    public func finish() {
        let set = set
        ask({ logbook, moment in try logbook.takeBackFinish(set: set, moment: moment) }) { [weak self] done in
            self?.done = done
        }
    }

    private func fill(dives: UInt32, seen: [SeenOn]) {
        let set = set
        ask({ logbook, moment in
            try logbook.takeBackFill(set: set, dives: dives, seen: seen, moment: moment)
        }) { [weak self] form in
            self?.shown = form
        }
    }
}

/// Every set.
@MainActor
public final class SetsScreen: Screen<[SetLine]> {
    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Asks for them.
    public func load() {
        ask({ logbook, moment in try logbook.sets(moment: moment) }) { [weak self] sets in
            self?.shown = sets
        }
    }
}

/// A set, port by port.
@MainActor
public final class SetScreen: Screen<SetShown> {
    private let name: String

    /// The set of a name.
    public init(desk: Desk, name: String) {
        self.name = name
        super.init(desk: desk)
    }

    /// Asks for it.
    public func load() {
        let name = name
        ask({ logbook, moment in try logbook.set(name: name, moment: moment) }) { [weak self] set in
            self?.shown = set
        }
    }
}

/// What is due.
@MainActor
public final class DueScreen: Screen<DueList> {
    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Asks for what is due within a time, as `90d` or `1y`.
    public func load(within: String? = nil) {
        ask({ logbook, moment in try logbook.due(within: within, moment: moment) }) { [weak self] list in
            self?.shown = list
        }
    }
}

/// What came of a meeting: a file that was written, or one that was taken in.
public enum Met: Sendable {
    /// A bundle to be shared.
    case bundled(URL, words: String)
    /// A bundle that was taken in.
    case takenIn(Merged)
}

/// Records that meet: a bundle out to the share sheet, and one in.
@MainActor
public final class MeetingScreen: Screen<Met> {
    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Writes the whole record into a file.
    public func bundle(to file: URL) {
        ask({ logbook, _ in try logbook.bundleOut(path: file.path) }) { [weak self] words in
            self?.shown = .bundled(file, words: words)
        }
    }

    /// Takes a file in, as often as one likes.
    public func takeIn(_ file: URL) {
        ask({ logbook, _ in
            // A file of another app is open for as long as it is read.
            let open = file.startAccessingSecurityScopedResource()
            defer { if open { file.stopAccessingSecurityScopedResource() } }
            let merged = try logbook.mergeIn(path: file.path)
            // What the system copied here for this app is of no more use.
            if file.deletingLastPathComponent().lastPathComponent == "Inbox" {
                try? FileManager.default.removeItem(at: file)
            }
            return merged
        }) { [weak self] merged in
            self?.shown = .takenIn(merged)
        }
    }
}

/// Writing a hose's tag on a chip.
@MainActor
public final class ChipScreen: Screen<ChipMessage> {
    private let code: String
    /// What the last chip held, and what the person agreed to lose: of that chip,
    /// and of no other.
    private var held: Data?
    private var agreedTo: Data?

    /// The chip of a hose.
    public init(desk: Desk, code: String) {
        self.code = code
        super.init(desk: desk)
    }

    /// What is to be written on a chip with this room that holds this message now.
    public func message(room: Int, held: Data) async -> ChipMessage? {
        self.held = held
        let (code, agreed) = (code, agreedTo == held)
        do {
            return try await desk.ask { logbook, moment in
                try logbook.chipMessage(
                    typed: code, room: UInt32(clamping: room), held: held, agreed: agreed, moment: moment)
            }
        } catch {
            trouble = Trouble(error)
            return nil
        }
    }

    /// The message stands on the chip.
    public func written(_ message: ChipMessage) {
        trouble = nil
        shown = message
    }

    /// The person saw what the chip holds, and said yes: hold it there again.
    public func overwrite() {
        agreedTo = held
        trouble = nil
    }

    /// A chip that was taken away is held there again.
    public override func tryAgain() {
        trouble = nil
    }

    /// Another chip for the same hose.
    public func anew() {
        agreedTo = nil
        trouble = nil
        shown = nil
    }
}
