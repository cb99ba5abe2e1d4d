import HosewrightKit
import SwiftUI

/// The camera that stays open while the hoses of a form tick off, each with a buzz and a word.
struct TicksView: View {
    let desk: Desk
    /// Closes it: every hose is there, or the person has enough.
    let close: @MainActor () -> Void
    @State private var screen: Screen
    @State private var code = ""

    init(desk: Desk, of: FormOf, close: @escaping @MainActor () -> Void) {
        self.desk = desk
        self.close = close
        _screen = State(initialValue: Screen(desk: desk, of: .ticks(of: of)))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                CameraView(screen: screen)
                ForEach(screen.shown.said, id: \.self) { Text($0).font(.title3.bold()) }
                if let ticks = screen.shown.ticks { Text(ticks.words).font(.title3.bold()).accessibilityAddTraits(.isHeader) }
                Blocked(screen: screen)
                ForEach(screen.shown.trouble?.near ?? [], id: \.code) { near in
                    LargeButton(words: near.words) { screen.touch(.typed(text: near.code)) }
                }
                CodeField(code: $code) { typed() }
                LargeButton(words: say.answer) { typed() }
                ForEach(screen.shown.ticks?.lists ?? [], id: \.title) { HoseListView(list: $0) }
            }
            .padding()
        }
        .pinned { LargeButton(words: say.finished, main: true, then: close) }
        .navigationTitle(screen.shown.ticks?.title ?? say.scan)
        .cancelled { close() }
        .onAppear {
            screen.touch(.look)
            Camera.own.open(for: screen)
        }
        .onDisappear {
            screen.leave()
            Camera.own.close(for: screen)
        }
        .onChange(of: screen.follows) { _, follows in
            guard let follows else { return }
            screen.follows = nil
            switch follows {
            case .ticked(let words, let well, let all):
                Voice.own.tick(words, well: well, aloud: screen.shown.ticks?.aloud == true)
                if all { close() }
            case .camera: Camera.own.open(for: screen)
            default: break
            }
        }
    }

    private func typed() {
        screen.touch(.typed(text: code))
        code = ""
    }
}

/// Hoses under a heading. A sign beside what is still to be scanned would look like a tick.
struct HoseListView: View {
    let list: HoseList

    var body: some View {
        Text(list.title).font(.title3.bold()).accessibilityAddTraits(.isHeader)
        ForEach(list.hoses, id: \.code) { hose in
            if list.open { Entry(name: hose.name, words: hose.facts) } else { SignedRow(hose) }
        }
    }
}
