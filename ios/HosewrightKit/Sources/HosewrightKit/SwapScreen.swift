import Foundation
import HosewrightCore

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
