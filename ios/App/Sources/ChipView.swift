import HosewrightKit
import SwiftUI

/// Writing a hose's tag on a chip.
struct ChipView: View {
    @State private var screen: ChipScreen
    @State private var chips: Chips
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, code: String) {
        let screen = ChipScreen(desk: desk, code: code)
        _screen = State(initialValue: screen)
        _chips = State(initialValue: Chips(obstacle: { screen.obstacle($0) }))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let trouble = screen.trouble {
                    TroubleView(trouble: trouble) { goOn($0, screen) }
                    if trouble.asksOverwrite {
                        LargeButton(words: say.overwrite) {
                            screen.overwrite()
                            write()
                        }
                    }
                }
                if let written = screen.shown {
                    Text(written.words).font(.title3.bold())
                    LargeButton(words: say.anotherChip) { screen.anew() }
                    LargeButton(words: say.finished, main: true) { dismiss() }
                } else {
                    LargeButton(words: say.writeChip, main: true) { write() }
                }
            }
            .padding()
        }
    }

    private func write() {
        chips.write(screen, hint: say.holdChip)
    }
}
