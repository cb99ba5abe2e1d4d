import HosewrightKit
import SwiftUI

/// Any form of the core's; each field is kept at once.
struct FormView: View {
    let desk: Desk
    @State private var screen: Screen
    /// What is in the fields and is not handed on yet, by their names.
    @State private var typed: [String: String] = [:]
    /// The field for which a tag or a barcode is scanned.
    @State private var scanning: FieldShown?
    @FocusState private var focused: String?
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, of: FormOf) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .form(of: of)))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let done = screen.shown.done {
                    saved(done)
                } else {
                    if let form = screen.shown.form { shown(form) }
                    Blocked(screen: screen)
                }
            }
            .padding()
        }
        .navigationTitle(screen.shown.form?.title ?? "")
        .onAppear { screen.touch(.look) }
        .onDisappear {
            handOn()
            screen.leave()
        }
        .onChange(of: focused) { left, _ in
            if let left { handOn(left) }
        }
        .sheet(isPresented: Binding(get: { scanning != nil }, set: { if !$0 { scanning = nil } })) {
            NavigationStack {
                // What counts as found is a hose, or whatever is written there.
                ScanView(desk: desk, wanted: scanning?.kind == .scans ? .hose : .text) { scanned($0) }
            }
        }
    }

    @ViewBuilder private func saved(_ done: FormSaved) -> some View {
        Text(done.words).font(.title3.bold())
        ForEach(done.notes, id: \.self) { Text($0) }
        lists(done.lists)
        if let code = done.answer?.code {
            NavigationLink(code) { HoseView(desk: desk, text: code) }.frame(minHeight: 56)
        }
        LargeButton(words: say.finished, main: true) { dismiss() }
    }

    @ViewBuilder private func lists(_ lists: [HoseList]) -> some View {
        ForEach(lists, id: \.title) { list in
            Text(list.title).font(.title3.bold()).accessibilityAddTraits(.isHeader)
            ForEach(list.hoses, id: \.code) { hose in
                // A sign beside what is still to be scanned would look like a tick.
                if list.open {
                    Label(inWords(hose), systemImage: "square").frame(minHeight: 48)
                } else {
                    SignedRow(verdict: hose.verdict, words: inWords(hose))
                }
            }
        }
    }

    @ViewBuilder private func shown(_ form: FormShown) -> some View {
        if let code = form.code { Text(code).monospaced() }
        if let hose = form.hose { Text(hose) }
        ForEach(screen.shown.said, id: \.self) { Text($0).font(.title3.bold()) }
        ForEach(form.lead, id: \.self) { Text($0) }
        ForEach(Array(form.groups.enumerated()), id: \.offset) { _, group in
            if !group.title.isEmpty { Text(group.title).font(.title3.bold()).accessibilityAddTraits(.isHeader) }
            ForEach(group.notes, id: \.self) { Text($0) }
            ForEach(Array(group.fields.enumerated()), id: \.offset) { _, one in field(one, under: group.title) }
            if let fold = group.fold {
                DisclosureGroup(fold.title) {
                    ForEach(Array(fold.fields.enumerated()), id: \.offset) { _, one in field(one, under: group.title) }
                }
                .frame(minHeight: 48)
            }
        }
        if screen.shown.trouble == nil, let problem = form.problem { Text(problem) }
        if form.answers.isEmpty && !form.submit.isEmpty {
            LargeButton(words: form.submit, main: true) { submit() }
        }
        ForEach(form.answers, id: \.value) { answer in
            LargeButton(words: answer.label, main: answer == form.answers.first) { submit(answer.value) }
        }
        ForEach(form.lines, id: \.name) { Text("\($0.name): \($0.words)") }
        lists(form.lists)
        if let other = form.other, case .form(let of) = other.goes {
            NavigationLink(other.words) { FormView(desk: desk, of: of) }.frame(minHeight: 48)
        }
        if form.begun {
            LargeButton(words: say.startAgain) {
                typed = [:]
                screen.touch(.startAgain)
            }
        }
        ForEach(form.cautions, id: \.self) { Text($0) }
    }

    private func submit(_ answer: String? = nil) {
        // What stands in the fields and the saving are one.
        let fields = typed.map { Written(field: $0.key, text: $0.value) }
        typed = [:]
        screen.touch(.save(typed: fields, answer: answer))
    }

    @ViewBuilder private func field(_ field: FieldShown, under title: String) -> some View {
        switch field.kind {
        case .choice, .many:
            if field.label != title { Text(field.label).bold() }
            if let hint = field.hint { Text(hint) }
            ForEach(field.choices, id: \.value) { choice in
                ChoiceMark(words: choice.label, chosen: choice.chosen, one: field.kind == .choice, verdict: choice.verdict) {
                    screen.touch(.choose(field: field.name, value: choice.value, yes: field.kind == .choice || !choice.chosen))
                }
            }
        case .tick:
            ChoiceMark(words: field.label, chosen: !field.value.isEmpty) { screen.touch(.tick(field: field.name, yes: field.value.isEmpty)) }
        case .scans, .scanToAnswer:
            LargeButton(words: field.label, main: true) { scanning = field }
        case .scan:
            text(field)
            LargeButton(words: say.scan) { scanning = field }
        case .text, .date, .number:
            text(field)
        }
        if let wrong = field.wrong { Text(wrong).bold() }
    }

    @ViewBuilder private func text(_ field: FieldShown) -> some View {
        Text(field.label).accessibilityHidden(true)
        TextField(
            field.hint ?? "",
            text: Binding(get: { typed[field.name] ?? field.value }, set: { typed[field.name] = $0 })
        )
        .keyboardType(field.kind == .number ? .numberPad : .default)
        .autocorrectionDisabled()
        .frame(minHeight: 48)
        .focused($focused, equals: field.name)
        .onSubmit { handOn(field.name) }
        .accessibilityLabel(field.label)
        if let hint = field.hint { Text(hint) }
    }

    private func scanned(_ text: String) {
        guard let field = scanning else { return }
        scanning = nil
        typed[field.name] = nil
        screen.touch(.scanned(field: field.name, text: text))
    }

    /// What stands in one field, or in all, and is not handed on yet.
    private func handOn(_ name: String? = nil) {
        for (field, text) in typed where name == nil || field == name {
            typed[field] = nil
            screen.touch(.write(field: field, text: text))
        }
    }
}
