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

    /// Says a verdict if it is to be told aloud, and buzzes in any case.
    func tell(_ answer: Answer, aloud: Bool) {
        tick(answer.spoken, well: answer.verdict == .ready || answer.verdict == .watch, aloud: aloud)
    }

    /// A buzz for what is well, as what may be dived, and an error's for what is not.
    func tick(_ words: String, well: Bool, aloud: Bool) {
        UINotificationFeedbackGenerator().notificationOccurred(well ? .success : .error)
        // VoiceOver reads the page; it is not spoken over, and says it once.
        if UIAccessibility.isVoiceOverRunning { return announce(words) }
        guard aloud else { return }
        speech.stopSpeaking(at: .immediate)
        let said = AVSpeechUtterance(string: words)
        said.voice = AVSpeechSynthesisVoice(language: "en-GB")
        speech.speak(said)
    }

    /// Is silent.
    func stop() {
        speech.stopSpeaking(at: .immediate)
    }
}
