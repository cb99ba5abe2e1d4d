import Foundation
import HosewrightCore

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

/// Taking a set back: the dives, where each hose is, and a quick look at it.
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

    /// The dives that were made with each hose; nothing where nobody knows.
    public func dives(_ count: UInt32?) {
        fill(count, here: shown?.here ?? [], missing: shown?.missing ?? [], seen: shown?.seen ?? [])
    }

    /// A hose was scanned: it is here.
    public func scan(_ text: String) {
        let set = set
        ask({ logbook, moment in try logbook.takeBackScan(set: set, text: text, moment: moment) }) { [weak self] form in
            self?.shown = form
        }
    }

    /// A hose is here, as somebody says who read its code.
    public func here(_ hose: String) {
        let others = (shown?.here ?? []).filter { $0 != hose }
        let missing = (shown?.missing ?? []).filter { $0 != hose }
        fill(shown?.dives, here: others + [hose], missing: missing, seen: shown?.seen ?? [])
    }

    /// A hose did not come back.
    public func missing(_ hose: String) {
        let here = (shown?.here ?? []).filter { $0 != hose }
        let others = (shown?.missing ?? []).filter { $0 != hose }
        fill(shown?.dives, here: here, missing: others + [hose], seen: shown?.seen ?? [])
    }

    /// Something was seen on a hose, or taken back where it was seen already.
    public func toggle(hose: String, seen: String) {
        let there = SeenOn(hose: hose, seen: seen)
        let before = shown?.seen ?? []
        let after = before.contains(there) ? before.filter { $0 != there } : before + [there]
        fill(shown?.dives, here: shown?.here ?? [], missing: shown?.missing ?? [], seen: after)
    }

    /// Takes it back.
    public func finish() {
        let set = set
        ask({ logbook, moment in try logbook.takeBackFinish(set: set, moment: moment) }) { [weak self] done in
            self?.done = done
        }
    }

    private func fill(_ dives: UInt32?, here: [String], missing: [String], seen: [SeenOn]) {
        let set = set
        ask({ logbook, moment in
            try logbook.takeBackFill(
                set: set, dives: dives, here: here, missing: missing, seen: seen, moment: moment
            )
        }) { [weak self] form in
            self?.shown = form
        }
    }
}
