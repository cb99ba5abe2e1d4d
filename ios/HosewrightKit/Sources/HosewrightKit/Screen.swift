import Foundation
import HosewrightCore
import Observation

/// What a screen shows, and what it asks. A screen keeps nothing that the core
/// does not have on disk: started again, it asks again with the few words that name it.
@MainActor
@Observable
open class Screen<Shown> {
    /// What is shown; none until the first answer.
    public internal(set) var shown: Shown?
    /// What blocked the last question.
    public var trouble: Trouble?
    /// How many questions are not answered yet.
    public private(set) var asking = 0
    /// How far something long is; none if nothing is under way.
    public internal(set) var progress: String?

    let desk: Desk
    @ObservationIgnored private var again: (@MainActor () -> Void)?

    init(desk: Desk) {
        self.desk = desk
    }

    /// Asks, and shows what comes of it; what was shown before stays until then.
    func ask<T: Sendable>(
        _ question: @escaping @Sendable (Logbook, Moment) throws -> T,
        refused: @escaping @MainActor () -> Void = {},
        then: @escaping @MainActor (T) -> Void
    ) {
        again = { [weak self] in self?.ask(question, refused: refused, then: then) }
        let desk = desk
        wait(for: { try await desk.ask(question) }, refused: refused, then: then)
    }

    /// Does what needs the desk itself, and shows what comes of it.
    func repair<T: Sendable>(
        _ work: @escaping @Sendable () async throws -> T,
        then: @escaping @MainActor (T) -> Void
    ) {
        again = { [weak self] in self?.repair(work, then: then) }
        wait(for: work, refused: {}, then: then)
    }

    private func wait<T: Sendable>(
        for work: @escaping @Sendable () async throws -> T,
        refused: @escaping @MainActor () -> Void,
        then: @escaping @MainActor (T) -> Void
    ) {
        asking += 1
        Task { @MainActor in
            do {
                let value = try await work()
                asking -= 1
                progress = nil
                trouble = nil
                then(value)
            } catch {
                asking -= 1
                progress = nil
                trouble = Trouble(error)
                refused()
            }
        }
    }

    /// Asks the last question again: the way on from what passes by itself.
    public func tryAgain() {
        again?()
    }

    /// Something of the phone is in the way.
    public func obstacle(_ obstacle: Obstacle) {
        trouble = Trouble(obstacle)
    }
}
