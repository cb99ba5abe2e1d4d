import AVFoundation
import HosewrightKit
import UIKit

/// The verdict for the ear and the hand.
@MainActor
final class Voice {
    /// The one voice of the app, made when it is needed first.
    static let own = Voice()

    private let speech = AVSpeechSynthesizer()

    private init() {}

    /// Says the verdict; an error's buzz for what may not be dived.
    func tell(_ answer: Answer) {
        let dived = answer.verdict == .ready || answer.verdict == .watch
        UINotificationFeedbackGenerator().notificationOccurred(dived ? .success : .error)
        // VoiceOver reads the page; it is not spoken over, and says the verdict once.
        if UIAccessibility.isVoiceOverRunning { return announce(answer.spoken) }
        speech.stopSpeaking(at: .immediate)
        let said = AVSpeechUtterance(string: answer.spoken)
        said.voice = AVSpeechSynthesisVoice(language: "en-GB")
        speech.speak(said)
    }

    /// Is silent.
    func stop() {
        speech.stopSpeaking(at: .immediate)
    }
}
