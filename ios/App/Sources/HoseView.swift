import HosewrightKit
import SwiftUI

/// The answer for one hose.
struct HoseView: View {
    let desk: Desk
    let text: String
    var speaks = false

    @State private var screen: HoseScreen
    @State private var voice = Voice()
    @State private var told = false
    @State private var asksWhy = false
    @State private var why = ""
    @State private var seeksNew = false
    @State private var readsBarcode = false
    @State private var inspecting: Inspection?
    @State private var swapping: Pair?

    /// Two hoses of a swap.
    struct Pair: Hashable {
        let old: String
        let new: String
    }

    init(desk: Desk, text: String, speaks: Bool = false) {
        self.desk = desk
        self.text = text
        self.speaks = speaks
        _screen = State(initialValue: HoseScreen(desk: desk, text: text))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let trouble = screen.trouble {
                    TroubleView(trouble: trouble) { goOn($0, screen) }
                }
                if let hose = screen.shown { shown(hose) }
            }
            .padding()
        }
        .onAppear { screen.load() }
        .onDisappear { voice.stop() }
        .onChange(of: screen.shown?.answer) { _, answer in
            guard let answer, speaks, !told else { return }
            told = true
            voice.tell(answer)
        }
        .navigationDestination(item: $inspecting) { kind in
            FormView(desk: desk, of: .inspect(hose: screen.shown?.answer.code ?? text, kind: kind))
        }
        .navigationDestination(item: $swapping) { pair in SwapView(desk: desk, old: pair.old, new: pair.new) }
        .sheet(isPresented: $seeksNew) {
            NavigationStack {
                ScanView(desk: desk) { new in
                    seeksNew = false
                    swapping = Pair(old: screen.shown?.answer.code ?? text, new: new)
                }
            }
        }
        .sheet(isPresented: $readsBarcode) {
            NavigationStack {
                ScanView(desk: desk, read: { barcode in
                    readsBarcode = false
                    screen.bind(barcode: barcode)
                })
            }
        }
        .alert("Why", isPresented: $asksWhy) {
            TextField("Why", text: $why)
            Button("Out of service for good", role: .destructive) { screen.retire(why: why) }
            Button("Cancel", role: .cancel) {}
        }
    }

    @ViewBuilder private func shown(_ hose: HoseShown) -> some View {
        let answer = hose.answer
        HStack(spacing: 16) {
            SignView(verdict: answer.verdict).frame(width: 120, height: 120)
            VStack(alignment: .leading) {
                Text(answer.word.uppercased()).font(.system(size: 44, weight: .bold))
                Text(answer.meaning)
                Text(answer.code).monospaced()
            }
        }
        .frame(maxWidth: .infinity, minHeight: UIScreen.main.bounds.height / 3, alignment: .leading)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel("\(answer.word). \(answer.meaning) \(answer.code)")
        ForEach(answer.reasons, id: \.words) { reason in
            SignedRow(verdict: reason.verdict, words: "\(reason.words) \(reason.todo)")
        }
        nextButton(answer.next, answer)
        if !answer.onRecord {
            NavigationLink("Register this hose") { FormView(desk: desk, of: .register(tag: text)) }.frame(minHeight: 56)
        }
        Text(answer.hose)
        Text("Age. \(answer.age)")
        ForEach(answer.inspections, id: \.self) { Text("Looked over. \($0)") }
        Text("Dives. \(answer.dives)")
        ForEach(answer.due, id: \.self) { Text("Due. \($0)") }
        // A hose's answer is not its regulator's.
        if let line = answer.setLine { Text(line).bold() }
        Text("Where. \(answer.place)")
        Text("Record. \(answer.record)")
        Text(answer.caution)
        LargeButton(words: "Read aloud") { voice.tell(answer) }
        if answer.onRecord { care(answer) }
        if !hose.photographs.isEmpty { Text("Photos").font(.title3.bold()).accessibilityAddTraits(.isHeader) }
        ForEach(Array(hose.photographs.enumerated()), id: \.offset) { _, photograph in
            VStack(alignment: .leading, spacing: 4) {
                if let image = UIImage(data: photograph.jpeg) {
                    Image(uiImage: image).resizable().scaledToFit()
                }
                Text("\(photograph.on), \(photograph.by)").bold()
                Text(photograph.words)
            }
            .accessibilityElement(children: .ignore)
            .accessibilityLabel("\(photograph.words). \(photograph.on), \(photograph.by)")
        }
        if !hose.history.isEmpty { Text("History").font(.title3.bold()).accessibilityAddTraits(.isHeader) }
        ForEach(Array(hose.history.enumerated()), id: \.offset) { _, line in
            Text("\(line.on), \(line.by): \(line.words)")
        }
    }

    @ViewBuilder private func care(_ answer: Answer) -> some View {
        LargeButton(words: "Quick look") { inspecting = .quick }
        LargeButton(words: "Full inspection") { inspecting = .full }
        LargeButton(words: "Leak test") { inspecting = .leakTest }
        if let set = answer.set {
            NavigationLink(set) { SetView(desk: desk, name: set) }.frame(minHeight: 48)
        }
        NavigationLink("Write a chip") { ChipView(desk: desk, code: answer.code) }.frame(minHeight: 48)
        if let picture = screen.picture, let image = UIImage(data: picture.bytes) {
            ShareLink(
                item: Image(uiImage: image),
                preview: SharePreview(picture.code, image: Image(uiImage: image))
            )
            .frame(minHeight: 48)
        } else {
            LargeButton(words: "Draw the tag to print") { screen.drawTag() }
        }
        NavigationLink("Edit details") { FormView(desk: desk, of: .describe(hose: answer.code)) }
            .frame(minHeight: 48)
        LargeButton(words: "Add the maker's barcode") { readsBarcode = true }
    }

    @ViewBuilder private func nextButton(_ next: NextStep, _ answer: Answer) -> some View {
        switch next {
        case .continueSwap(let words, let old, let new):
            LargeButton(words: words, main: true) { swapping = Pair(old: old, new: new) }
        case .scan(let words):
            Text(words).font(.title3.bold())
        case .reseal(let words, let end):
            LargeButton(words: words, main: true) { screen.reseal(end: end) }
        case .inspect(let words, let kind):
            LargeButton(words: words, main: true) { inspecting = kind }
        case .clean(let words):
            LargeButton(words: words, main: true) { screen.clean() }
        case .swap(let words):
            LargeButton(words: words, main: true) { seeksNew = true }
        case .retire(let words):
            LargeButton(words: words, main: true) { asksWhy = true }
        case .importRecord(let words):
            NavigationLink(words) { MeetingView(desk: desk) }.frame(minHeight: 56)
        case .describe(let words):
            NavigationLink(words) { FormView(desk: desk, of: answer.onRecord ? .describe(hose: answer.code) : .register(tag: answer.code)) }
                .frame(minHeight: 56)
        case .atTheCounter(let words):
            Text(words).font(.title3.bold())
        }
    }
}
