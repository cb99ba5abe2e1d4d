import HosewrightKit
import SwiftUI

/// The guided swap; it can be left at any step, and is taken up where it was.
struct SwapView: View {
    private let desk: Desk
    @State private var screen: SwapScreen
    @State private var scanning = false
    @State private var asking: Asking?
    @State private var choosingPort = false
    @State private var typed = ""
    @Environment(\.dismiss) private var dismiss

    /// What a text is asked for.
    private enum Asking {
        case behind(String)
        case giveUp
    }

    init(desk: Desk, old: String, new: String) {
        self.desk = desk
        _screen = State(initialValue: SwapScreen(desk: desk, old: old, new: new))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
                if let swap = screen.shown { shown(swap) }
            }
            .padding()
        }
        .onAppear { if screen.asking == 0 { screen.load() } }
        .onChange(of: screen.givenUp) { _, answer in if answer != nil { dismiss() } }
        .sheet(isPresented: $scanning) {
            NavigationStack {
                ScanView(desk: desk) { code in
                    scanning = false
                    screen.answer(code)
                }
            }
        }
        .alert(asked, isPresented: Binding(get: { asking != nil }, set: { if !$0 { asking = nil } })) {
            TextField(asked, text: $typed)
            Button("Save") {
                switch asking {
                case .behind(let answer): screen.answer("\(answer) \(typed)")
                case .giveUp: screen.giveUp(why: typed)
                case nil: break
                }
                typed = ""
            }
            Button("Cancel", role: .cancel) {}
        }
    }

    @ViewBuilder private func shown(_ swap: SwapShown) -> some View {
        Text("\(swap.old) → \(swap.new), \(swap.place)")
        if let said = swap.said { Text(said).font(.title3.bold()) }
        if let next = swap.next {
            Text("Step \(next.number) of \(swap.steps.count)").font(.title3.bold())
            Text(next.todo)
            question(next)
            if !swap.otherPorts.isEmpty {
                LargeButton(words: "Into another port") { choosingPort = true }
                    .confirmationDialog("Into another port", isPresented: $choosingPort, titleVisibility: .visible) {
                        ForEach(swap.otherPorts, id: \.self) { port in Button(port) { screen.into(port) } }
                    }
            }
            ForEach(swap.cautions, id: \.self) { Text($0) }
            ForEach(swap.steps, id: \.name) { step in Text("\(step.todo): \(step.answer ?? "Open")") }
            LargeButton(words: "Give up the swap") { asking = .giveUp }
        } else {
            Text("Finished").font(.title2.bold())
            NavigationLink(swap.new) { HoseView(desk: desk, text: swap.new) }.frame(minHeight: 56)
        }
    }

    /// What the text is, in a word.
    private var asked: String {
        if case .behind("passed") = asking { return "Pressure, as 200 bar" }
        return "Why"
    }

    @ViewBuilder private func question(_ next: NextQuestion) -> some View {
        if next.asks == .scan {
            LargeButton(words: "Scan", main: true) { scanning = true }
        }
        ForEach(next.buttons, id: \.answer) { button in
            LargeButton(words: button.words, main: button == next.buttons.first) {
                if button.needsText { asking = .behind(button.answer) } else { screen.answer(button.answer) }
            }
        }
        if next.asks == .buttonOrText {
            Text(next.answers)
            LargeButton(words: "Change the answer") { asking = .behind("") }
        }
    }
}

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
                        LargeButton(words: "Overwrite it") {
                            screen.overwrite()
                            write()
                        }
                    }
                }
                if let written = screen.shown {
                    Text(written.words).font(.title3.bold())
                    LargeButton(words: "Another chip") { screen.anew() }
                    LargeButton(words: "Finished", main: true) { dismiss() }
                } else {
                    LargeButton(words: "Write a chip", main: true) { write() }
                }
            }
            .padding()
        }
    }

    private func write() {
        chips.write(screen, hint: "Hold the chip to the top of the phone")
    }
}
