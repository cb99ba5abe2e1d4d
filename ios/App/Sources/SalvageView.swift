import HosewrightKit
import SwiftUI

/// Saving what can be read of a damaged record.
struct SalvageView: View {
    @State private var screen: Screen
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk) {
        _screen = State(initialValue: Screen(desk: desk, of: .salvage))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                Blocked(screen: screen)
                if screen.asking > 0, screen.shown.salvaged == nil {
                    Text(screen.progress ?? say.asking)
                } else {
                    ForEach(screen.shown.said, id: \.self) { Text($0) }
                }
            }
            .padding()
        }
        .pinned {
            if screen.shown.salvaged != nil {
                LargeButton(words: say.finished, main: true) { dismiss() }
            } else if screen.asking == 0 {
                LargeButton(words: say.salvage, main: true) { screen.touch(.begin) }
            }
        }
        .navigationTitle(say.salvage)
        .onAppear { screen.touch(.look) }
    }
}
