import AVFoundation
import HosewrightKit
import UIKit

/// The verdict for the ear and the hand.
@MainActor
final class Voice {
    private let speech = AVSpeechSynthesizer()

    /// Says the verdict; an error's buzz for what may not be dived.
    func tell(_ answer: Answer) {
        let dived = answer.verdict == .ready || answer.verdict == .watch
        UINotificationFeedbackGenerator().notificationOccurred(dived ? .success : .error)
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
