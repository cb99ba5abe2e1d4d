import Foundation
import HosewrightCore

/// An answer with what happened to the hose, and photographs of what was found on it.
public struct HoseShown: Sendable {
    public let answer: Answer
    public let history: [HistoryLine]
    public let photographs: [Photograph]
}

/// One hose: its answer, and what happened to it.
@MainActor
public final class HoseScreen: Screen<HoseShown> {
    private let text: String
    /// The tag as a picture, once it was asked for.
    public private(set) var picture: TagPicture?

    /// A hose by whatever names it.
    public init(desk: Desk, text: String) {
        self.text = text
        super.init(desk: desk)
    }

    /// Asks for the answer, when the screen is looked at.
    public func load() {
        let text = text
        ask({ logbook, moment in
            let answer = try logbook.answer(typed: text, moment: moment)
            let history = answer.onRecord ? try logbook.history(typed: answer.code) : []
            let photographs = answer.onRecord ? try logbook.photographs(typed: answer.code) : []
            return HoseShown(answer: answer, history: history, photographs: photographs)
        }) { [weak self] hose in
            self?.shown = hose
        }
    }

    /// Draws the tag for a printer.
    public func drawTag(size: String = "20mm", dotsAnInch: UInt16 = 300) {
        let code = code
        ask({ logbook, _ in try logbook.tagPicture(typed: code, format: .png, size: size, dpi: dotsAnInch) }) { [weak self] picture in
            self?.picture = picture
        }
    }

    private var code: String { shown?.answer.code ?? text }
}
