import HosewrightKit
import SwiftUI

/// Looking a hose over, checkpoint by checkpoint; each touch is kept at once.
struct InspectionView: View {
    @State private var screen: InspectionScreen
    @State private var pressure = ""
    @State private var note = ""
    @State private var counting: Counted?
    @State private var count = ""
    @Environment(\.dismiss) private var dismiss

    /// A finding whose number is asked for.
    private struct Counted {
        let checkpoint: String
        let choice: FindingChoice
    }

    init(desk: Desk, code: String, kind: Inspection) {
        _screen = State(initialValue: InspectionScreen(desk: desk, code: code, kind: kind))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let form = screen.shown { shown(form) }
                if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
            }
            .padding()
        }
        .onAppear { screen.load() }
        .onChange(of: screen.shown?.code) { _, _ in
            // What was typed before this page was begun anew.
            pressure = screen.shown?.filled.pressure ?? ""
            note = screen.shown?.filled.note ?? ""
        }
        .onChange(of: screen.finished) { _, finished in if finished != nil { dismiss() } }
        .alert("How many", isPresented: Binding(get: { counting != nil }, set: { if !$0 { counting = nil } })) {
            TextField("How many", text: $count).keyboardType(.numberPad)
            Button("Save") {
                if let counting, let number = UInt(count) {
                    screen.counted(counting.checkpoint, counting.choice, count: number)
                }
                count = ""
            }
            Button("Cancel", role: .cancel) {}
        }
    }

    @ViewBuilder private func shown(_ form: InspectionForm) -> some View {
        Text(form.code).font(.title2.bold().monospaced())
        Text(form.hose)
        ForEach(form.last, id: \.self) { Text("Last time. \($0)") }
        ForEach(form.checkpoints, id: \.name) { checkpoint($0) }
        if form.needsResult {
            choice("Nothing leaked", chosen: form.filled.passed == true) {
                screen.result(passed: true, pressure: pressure)
            }
            choice("It leaked", chosen: form.filled.passed == false) {
                screen.result(passed: false, pressure: pressure)
            }
            TextField("Pressure, as 200 bar", text: $pressure)
                .frame(minHeight: 48)
                .onSubmit { screen.result(passed: form.filled.passed, pressure: pressure) }
        }
        TextField("Note", text: $note).frame(minHeight: 48).onSubmit { screen.note(note) }
        if let missing = form.missing { Text(missing) }
        LargeButton(words: "Save", main: true) {
            handOn(form)
            screen.finish()
        }
        LargeButton(words: "Start again") {
            (pressure, note) = ("", "")
            screen.drop()
        }
        Text(form.caution)
    }

    /// What stands in a field that was not left by its return key.
    private func handOn(_ form: InspectionForm) {
        if form.needsResult, pressure != form.filled.pressure ?? "" {
            screen.result(passed: form.filled.passed, pressure: pressure)
        }
        if note != form.filled.note ?? "" { screen.note(note) }
    }

    @ViewBuilder private func checkpoint(_ point: CheckpointShown) -> some View {
        Text(point.todo).font(.title3.bold()).accessibilityAddTraits(.isHeader)
        Text(point.ticked ? "Looked at" : "Not looked at yet")
        ForEach(point.before, id: \.self) { Text("Last time. \($0)") }
        let clear = point.ticked && point.found.isEmpty
        choice("Nothing found", chosen: clear) {
            if clear { screen.untick(point.name) } else { screen.nothingFound(point.name) }
        }
        ForEach(point.choices, id: \.seen) { one in
            let counted = one.counted ? point.found.first { $0.hasPrefix(one.seen) } : nil
            let number = counted.map { ": \($0.dropFirst(one.seen.count))" } ?? ""
            choice(one.words + number, chosen: counted != nil || point.found.contains(one.seen)) {
                if !one.counted {
                    screen.toggle(point.name, one)
                } else if counted != nil {
                    screen.counted(point.name, one, count: nil)
                } else {
                    counting = Counted(checkpoint: point.name, choice: one)
                }
            }
        }
    }

    /// Chosen or not is said in words and by a mark, not by a colour.
    private func choice(_ words: String, chosen: Bool, then: @escaping () -> Void) -> some View {
        Button(action: then) {
            Label(words, systemImage: chosen ? "checkmark.square" : "square")
                .frame(maxWidth: .infinity, minHeight: 48, alignment: .leading)
        }
        .tint(.primary)
        .accessibilityAddTraits(chosen ? [.isSelected] : [])
    }
}

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
