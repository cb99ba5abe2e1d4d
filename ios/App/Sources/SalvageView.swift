import HosewrightKit
import SwiftUI

/// Saving what can be read of a damaged record.
struct SalvageView: View {
    @State private var screen: SalvageScreen
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk) {
        _screen = State(initialValue: SalvageScreen(desk: desk))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
                if let saved = screen.shown {
                    ForEach(saved.words, id: \.self) { Text($0) }
                    LargeButton(words: say.finished, main: true) { dismiss() }
                } else if screen.asking > 0 {
                    Text(screen.progress ?? say.asking)
                } else {
                    Text(screen.lead)
                    LargeButton(words: say.salvage, main: true) { screen.begin() }
                }
            }
            .padding()
        }
        .navigationTitle(say.salvage)
    }
}
