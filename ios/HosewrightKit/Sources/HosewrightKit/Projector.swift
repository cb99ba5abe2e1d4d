import Foundation
import HosewrightCore
import Observation

/// One symbol of a film, without the quiet around it.
public struct FilmFrame: Equatable, Sendable {
    /// Modules a side.
    public let side: Int
    let bits: Data

    /// Whether a module is dark.
    public func isDark(_ x: Int, _ y: Int) -> Bool {
        let at = y * side + x
        return bits[bits.startIndex + at / 8] >> (7 - at % 8) & 1 == 1
    }
}

/// The frames of the film that a screen shows, made before they are drawn.
@MainActor
@Observable
public final class Projector {
    /// What is drawn; none before the first frame.
    public private(set) var frame: FilmFrame?
    /// Whether it goes on from frame to frame.
    public private(set) var running = false

    @ObservationIgnored private let screen: Screen
    @ObservationIgnored private var frames: [FilmFrame] = []
    @ObservationIgnored private var made: UInt64 = 0
    @ObservationIgnored private var making = false
    /// How often it was shown otherwise: frames that come of before are not shown any more.
    @ObservationIgnored private var changed = 0
    @ObservationIgnored private var going: Task<Void, Never>?

    /// So few frames are left, and the next ones are made: more than a second of them.
    private static let ahead = 20

    /// A projector of the film that a page shows.
    public init(_ screen: Screen) {
        self.screen = screen
    }

    /// Goes from frame to frame, so many a second; one that stands still is shown once.
    public func run(at rate: UInt16, still: Bool) {
        pause()
        running = true
        going = Task { [weak self] in
            while !Task.isCancelled {
                guard let self else { return }
                if self.step(), still { return }
                try? await Task.sleep(nanoseconds: 1_000_000_000 / UInt64(max(rate, 1)))
            }
        }
    }

    /// Stays at the frame that it shows.
    public func pause() {
        going?.cancel()
        (going, running) = (nil, false)
    }

    /// The film is shown otherwise; it goes on from where it is, since any of its frames will do.
    public func change() {
        frames.removeAll()
        changed += 1
        making = false
    }

    /// Shows the next frame; not yet, if it is not made.
    @discardableResult
    public func step() -> Bool {
        if frames.count < Self.ahead { make() }
        guard !frames.isEmpty else { return false }
        frame = frames.removeFirst()
        return true
    }

    private func make() {
        if making { return }
        making = true
        let of = changed
        screen.strip(from: made) { [weak self] strip in
            guard let self, of == changed else { return }
            making = false
            made += UInt64(strip.frames.count)
            frames += strip.frames.map { FilmFrame(side: Int(strip.side), bits: $0) }
        }
    }
}
