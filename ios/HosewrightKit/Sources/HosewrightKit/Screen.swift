import Foundation
import HosewrightCore
import Observation

/// A page of the core's: touches go to it in their order, and what comes back is drawn.
///
/// It keeps nothing that the core does not have on disk: started again, it asks again
/// with the few words that name it.
@MainActor
@Observable
public final class Screen {
    /// What the page holds.
    public private(set) var shown = nothingShown()
    /// How many touches are not answered yet.
    public private(set) var asking = 0
    /// How far something long is; none if nothing is under way.
    public private(set) var progress: String?
    /// Whether something long is under way, which `stop` stops.
    public var underWay: Bool { asking > 0 && progress != nil }
    /// What to do about a tag that shows itself and can't be read yet.
    public private(set) var hint: String?
    /// How far the film is that is watched; none if no film is.
    public private(set) var film: FilmSeen?
    /// What follows from the last touch. Whoever draws the page goes there, and takes it.
    public var follows: Follows?

    private let turn: Desk.Turn
    @ObservationIgnored private var away = false
    /// A counter is being met.
    @ObservationIgnored private var calling = false

    /// A page with nothing on it yet.
    public init(desk: Desk, of: PageOf) {
        turn = Desk.Turn(desk: desk, of: of)
        turn.told = { [weak self] words in self?.progress = words }
    }

    /// Hands a touch over at once, and shows what comes of it; what was shown before
    /// stays until then.
    public func touch(_ touch: Touch) {
        if touch == .look { away = false }
        let meets = turn.calls && touch.meets
        // Touched twice, it is not met a second time after it was stopped.
        if meets, calling { return }
        if meets { calling = true }
        asking += 1
        turn.touch(touch) { [weak self] reply in
            guard let self else { return }
            asking -= 1
            if meets { calling = false }
            progress = nil
            // A touch says anew how far a film is; frames bring it on from there.
            if reply.shown.watching != shown.watching { film = reply.shown.watching?.seen }
            shown = reply.shown
            if !away, let next = reply.follows { follows = next }
        }
        if touch == .look { turn.looks(at: self) }
    }

    /// Stops what takes long; at once, also while touches wait.
    public func stop() { turn.stop() }

    /// Hands over the texts of a frame, also of one without any, if it is worth it.
    public func frame(_ texts: [String]) {
        if !away, turn.frame(texts) { touch(.seen(texts: texts)) }
    }

    /// What to do about a tag that shows itself, or that there is none any more.
    public func hinted(_ words: String?) {
        if !away, hint != words { hint = words }
    }

    /// What looks at the frames of a film that is watched.
    public var eye: FilmEye { turn.eye }

    /// What a frame of the camera came to. What is to be kept of it is kept also where nobody
    /// looks any more.
    public func watched(_ seen: FilmSeen) {
        if !away { film = seen }
        if let next = seen.touch { touch(next) }
    }

    /// The frames of the film that is shown, from one on; without the record, which others can
    /// ask in the meantime.
    func strip(from: UInt64, told: @escaping @MainActor @Sendable (FilmStrip) -> Void) {
        turn.strip(from: from) { [weak self] strip in
            if let strip { told(strip) } else { self?.hindered(.fault) }
        }
    }

    /// Something of the phone stands in the way.
    public func hindered(_ obstacle: Obstacle, _ detail: String? = nil) {
        touch(.hindered(obstacle: obstacle, detail: detail))
    }

    /// A chip is held to the phone: what is to be written on it, if anything is.
    public func near(room: Int, held: Data) async -> Data? {
        await withCheckedContinuation { told in
            asking += 1
            turn.touch(.chipNear(room: UInt32(clamping: room), held: held)) { [weak self] reply in
                self?.asking -= 1
                self?.shown = reply.shown
                if case .writeChip(let bytes) = reply.follows { told.resume(returning: bytes) } else { told.resume(returning: nil) }
            }
        }
    }

    /// The page is not looked at any more: nothing follows until it is again, and nobody waits
    /// for a counter.
    public func leave() {
        away = true
        hint = nil
        turn.left(self)
        if calling { stop() }
    }
}

extension Touch {
    /// Whether it begins to meet a counter, on the page that does so.
    fileprivate var meets: Bool {
        if case .save = self { return true }
        return self == .tryAgain
    }
}
