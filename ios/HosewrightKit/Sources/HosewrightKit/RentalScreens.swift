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

    /// Begins the scanning again.
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
