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
