import Foundation
import HosewrightCore

/// Hears on the main thread how far something long is.
final class Told: ProgressListener {
    private let heard: @MainActor @Sendable (String) -> Void

    init(_ heard: @escaping @MainActor @Sendable (String) -> Void) {
        self.heard = heard
    }

    func told(done: UInt64, all: UInt64, words: String) {
        let heard = heard
        Task { @MainActor in heard(words) }
    }
}
