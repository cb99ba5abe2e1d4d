import Foundation
import HosewrightCore

/// Writing a hose's tag on a chip.
@MainActor
public final class ChipScreen: Screen<ChipMessage> {
    private let code: String
    /// What the last chip held, and what the person agreed to lose: of that chip,
    /// and of no other.
    private var held: Data?
    private var agreedTo: Data?

    /// The chip of a hose.
    public init(desk: Desk, code: String) {
        self.code = code
        super.init(desk: desk)
    }

    /// What is to be written on a chip with this room that holds this message now.
    public func message(room: Int, held: Data) async -> ChipMessage? {
        self.held = held
        let (code, agreed) = (code, agreedTo == held)
        do {
            return try await desk.ask { logbook, moment in
                try logbook.chipMessage(
                    typed: code, room: UInt32(clamping: room), held: held, agreed: agreed, moment: moment)
            }
        } catch {
            trouble = Trouble(error)
            return nil
        }
    }

    /// The message is on the chip.
    public func written(_ message: ChipMessage) {
        trouble = nil
        shown = message
    }

    /// The person saw what the chip holds, and said yes: hold it there again.
    public func overwrite() {
        agreedTo = held
        trouble = nil
    }

    /// A chip that was taken away is held there again.
    public override func tryAgain() {
        trouble = nil
    }

    /// Another chip for the same hose.
    public func anew() {
        agreedTo = nil
        trouble = nil
        shown = nil
    }
}
