import Foundation
import HosewrightCore

/// Scanning: a camera's frames, a chip, or a typed code, to the answer. Where
/// another page asked for a text, `read` gets what is written on whatever is seen.
@MainActor
public final class ScanScreen: Screen<Answer> {
    private var lastSeen: [String] = []
    /// The text of the tag that was answered last; it names a hose that has no record here.
    public private(set) var lastText: String?

    private let read: (@MainActor @Sendable (String) -> Void)?

    /// A screen that has shown nothing.
    public init(desk: Desk, read: (@MainActor @Sendable (String) -> Void)? = nil) {
        self.read = read
        super.init(desk: desk)
    }

    /// Texts that were seen in a frame. The same texts are asked once.
    public func seen(_ texts: [String]) {
        if asking > 0 || texts.isEmpty || texts == lastSeen { return }
        lastSeen = texts
        if let read {
            if texts.count == 1 { read(texts[0]) }
            return
        }
        ask({ logbook, moment in try logbook.answerSeen(texts: texts, moment: moment) }) { [weak self] answer in
            self?.tell(answer, texts.count == 1 ? texts.first : nil)
        }
    }

    /// A code, the beginning of one, or a text from a hand-held reader.
    public func typed(_ text: String) {
        if let read { return read(text) }
        ask({ logbook, moment in try logbook.answer(typed: text, moment: moment) }) { [weak self] answer in
            self?.tell(answer, text)
        }
    }

    /// The message of a chip; no bytes are an empty chip.
    public func chip(_ message: Data) {
        let content = chipContent(message: message)
        guard let text = content.text else {
            trouble = Trouble(RefusedError.Chip(words: content.words))
            return
        }
        if let read { return read(text) }
        ask({ logbook, moment in try logbook.answerSeen(texts: [text], moment: moment) }) { [weak self] answer in
            self?.tell(answer, text)
        }
    }

    /// The screen is looked at again: what is before the camera counts again.
    public func resume() {
        lastSeen = []
        trouble = nil
        shown = nil
    }

    private func tell(_ answer: Answer, _ text: String?) {
        lastText = text
        shown = answer
    }
}
