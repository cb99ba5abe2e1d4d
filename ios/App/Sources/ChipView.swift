import HosewrightKit
import SwiftUI

/// Writing a hose's tag on a chip.
struct ChipView: View {
    @State private var screen: Screen
    @State private var chips: Chips
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, code: String) {
        let screen = Screen(desk: desk, of: .chip(code: code))
        _screen = State(initialValue: screen)
        _chips = State(initialValue: Chips(hindered: { screen.hindered($0, $1) }))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                Blocked(screen: screen)
                if !screen.shown.awaitsChip {
                    ForEach(screen.shown.said, id: \.self) { Text($0).font(.title3.bold()) }
                    LargeButton(words: say.anotherChip) { screen.touch(.anotherChip) }
                }
            }
            .padding()
        }
        .pinned {
            if screen.shown.awaitsChip {
                LargeButton(words: say.writeChip, main: true) { write() }
            } else {
                LargeButton(words: say.finished, main: true) { dismiss() }
            }
        }
        .navigationTitle(say.writeChip)
        .onChange(of: screen.follows) { _, follows in
            // It is to be held there again, after a yes or after it was lost.
            guard follows == .chip else { return }
            screen.follows = nil
            write()
        }
    }

    private func write() {
        chips.write(screen, hint: say.holdChip)
    }
}
