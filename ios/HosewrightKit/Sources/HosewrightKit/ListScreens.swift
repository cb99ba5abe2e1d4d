import Foundation
import HosewrightCore

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

/// A set, port by port, and as it sits.
@MainActor
public final class SetScreen: Screen<SetShown> {
    private let name: String
    /// The set drawn as it sits, once it was asked for.
    public private(set) var picture: Picture?

    /// The set of a name.
    public init(desk: Desk, name: String) {
        self.name = name
        super.init(desk: desk)
    }

    /// Asks for it.
    public func load() {
        let name = name
        ask({ logbook, moment in
            (try logbook.set(name: name, moment: moment), try logbook.setPicture(name: name, moment: moment))
        }) { [weak self] told in
            self?.shown = told.0
            self?.picture = told.1
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
