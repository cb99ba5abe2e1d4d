import HosewrightKit
import SwiftUI

/// The answer for one hose.
struct HoseView: View {
    let desk: Desk
    let text: String
    var speaks = false

    @State private var screen: Screen
    @State private var told = false
    /// The form to which an action leads.
    @State private var form: FormOf?
    /// The tag's picture, for another app.
    @State private var tag: URL?

    init(desk: Desk, text: String, speaks: Bool = false) {
        self.desk = desk
        self.text = text
        self.speaks = speaks
        _screen = State(initialValue: Screen(desk: desk, of: .hose(text: text)))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                Blocked(screen: screen)
                if let hose = screen.shown.hose { shown(hose) }
            }
            .padding()
        }
        .pinned {
            if let next = screen.shown.hose?.answer.next { action(next, main: true) }
        }
        .navigationTitle(say.answer)
        .onAppear { screen.touch(.look) }
        .onDisappear {
            screen.leave()
            Voice.own.stop()
        }
        .onChange(of: screen.shown.hose?.answer) { _, answer in
            guard let answer, speaks, !told else { return }
            told = true
            Voice.own.tell(answer, aloud: screen.shown.hose?.aloud == true)
        }
        .onChange(of: screen.shown.tag) { _, picture in
            guard let picture else { return }
            desk.beside({ Received.keep(picture.bytes, as: picture.file) }) { file in
                tag = file
                if file == nil { screen.hindered(.storageFull) }
            }
        }
        .navigationDestination(item: $form) { of in FormView(desk: desk, of: of) }
    }

    @ViewBuilder private func shown(_ hose: HoseShown) -> some View {
        let answer = hose.answer
        HStack(spacing: 16) {
            SignView(verdict: answer.verdict).frame(width: 120, height: 120)
            VStack(alignment: .leading) {
                Text(answer.word.uppercased()).font(.system(size: 44, weight: .bold))
                // What is asked first of any hose: how old, and when it was looked over.
                Text(answer.old).font(.title)
                Text(answer.looked).font(.title)
                Text(answer.meaning)
                Text(answer.named).monospaced()
            }
        }
        .frame(maxWidth: .infinity, minHeight: UIScreen.main.bounds.height / 3, alignment: .leading)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel("\(answer.word). \(answer.old), \(answer.looked). \(answer.meaning) \(answer.named)")
        Text(answer.hose)
        ForEach(answer.reasons, id: \.words) { reason in
            SignedRow(verdict: reason.verdict, words: reason.words, todo: reason.todo)
        }
        Text("\(say.age). \(answer.age)")
        ForEach(answer.inspections, id: \.self) { Text("\(say.lookedOver). \($0)") }
        Text("\(say.dives). \(answer.dives)")
        ForEach(answer.due, id: \.self) { Text("\(say.due). \($0)") }
        // A hose's answer is not its regulator's.
        if let line = answer.setLine { Text(line).bold() }
        Text("\(say.place). \(answer.place)")
        Text("\(say.record). \(answer.record)")
        Text(answer.caution)
        LargeButton(words: say.readAloud) { Voice.own.tell(answer, aloud: true) }
        ForEach(answer.actions, id: \.words) { action($0) }
        // The file as it is: drawn anew it would lose the size that it prints at.
        if let file = tag { ShareLink(item: file).frame(minHeight: 48) }
        if answer.onRecord {
            NavigationLink(say.writeChip) { ChipView(desk: desk, code: answer.code) }.frame(minHeight: 48)
        }
        if !hose.photographs.isEmpty { Text(say.photos).font(.title3.bold()).accessibilityAddTraits(.isHeader) }
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
        if !hose.history.isEmpty { Text(say.history).font(.title3.bold()).accessibilityAddTraits(.isHeader) }
        ForEach(Array(hose.history.enumerated()), id: \.offset) { _, line in
            Text("\(line.on), \(line.by): \(line.words)")
            if let withdraw = line.withdraw, case .form(let of) = withdraw.goes {
                LargeButton(words: withdraw.words) { form = of }
                    .accessibilityLabel("\(withdraw.words): \(line.words)")
            }
        }
    }

    /// Something that can be done next, in its words.
    @ViewBuilder private func action(_ action: ActionShown, main: Bool = false) -> some View {
        switch action.goes {
        case .form(let of):
            LargeButton(words: action.words, main: main) { form = of }
        case .replacement:
            NavigationLink(action.words) { StockView(desk: desk, old: screen.shown.hose?.answer.code ?? text) }
                .frame(minHeight: 56)
        case .tag:
            LargeButton(words: action.words, main: main) { screen.touch(.drawTag(format: .pdf, size: "20mm", dpi: 300)) }
        case .importRecord:
            NavigationLink(action.words) { MeetingView(desk: desk) }.frame(minHeight: 56)
        case .set(let name):
            NavigationLink(action.words) { SetView(desk: desk, name: name) }.frame(minHeight: 48)
        case .scan, .atTheCounter:
            Text(action.words).font(.title3.bold())
        }
    }
}
