import Foundation
import HosewrightCore

/// The greeting of a record that has no hose yet; nothing if it has one.
@MainActor
public final class WelcomeScreen: Screen<Welcome> {
    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Asks whether there is a hose on record, when the first page is looked at.
    public func load() {
        ask({ logbook, _ in try logbook.welcome() }) { [weak self] welcome in
            self?.shown = welcome
        }
    }
}
