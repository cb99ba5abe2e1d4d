import Foundation
import HosewrightCore

/// What blocks it, in the core's words.
public struct Trouble: Sendable {
    /// What is the matter.
    public let words: String
    /// What to do; empty if the words say it.
    public var todo = ""
    /// The ways on, the best first.
    public var waysOn: [WayOnShown] = []
    /// Which obstacle it is, if it is one of the phone.
    public var obstacle: Obstacle?
    /// Tags on record that come near, to be chosen from.
    public var near: [String] = []
    /// A tag that no hose on record has, and with which one can be registered.
    public var unused: String?
    /// The field of a form that is to be put right, by its name.
    public var field: String?
    /// Whether the person is to be asked whether a chip may be overwritten.
    public var asksOverwrite = false

    /// An obstacle of the phone.
    public init(_ obstacle: Obstacle) {
        let shown = obstacleShown(obstacle: obstacle)
        self.words = shown.words
        self.todo = shown.todo
        self.waysOn = shown.waysOn
        self.obstacle = obstacle
    }

    private init(words: String) {
        self.words = words
    }

    /// Every refusal of the core has its own case: a new one does not compile
    /// until it has words.
    public init(_ error: Error) {
        guard let refused = error as? RefusedError else {
            self.init(Obstacle.fault)
            return
        }
        switch refused {
        case .Store(let obstacle, _, _):
            self.init(obstacle)
        case .UnknownHose(let words, let near, let tag):
            self.init(words: words)
            self.near = near
            self.unused = tag
        case .Field(let field, let words):
            self.init(words: words)
            self.field = field
        case .ChipHoldsAnother(let words):
            self.init(words: words)
            self.asksOverwrite = true
        case .HandOutStopped(let words), .NotATag(let words), .NotOneTag(let words), .NotAllowed(let words), .Chip(let words),
            .File(let words), .Input(let words):
            self.init(words: words)
        }
    }
}
