import Foundation
import HosewrightCore

/// Saving what can be read of a damaged record into a new one.
@MainActor
public final class SalvageScreen: Screen<Salvaged> {
    /// What is said before.
    public let lead = salvageLead()

    /// A screen that has begun nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Begins. The damaged file is not changed, and set aside in the end.
    public func begin() {
        let told = Told { [weak self] words in self?.progress = words }
        let desk = desk
        repair({ try await desk.salvage(told) }) { [weak self] saved in
            self?.shown = saved
        }
    }
}
