import Foundation
import HosewrightCore

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
