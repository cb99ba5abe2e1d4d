import HosewrightKit
import SwiftUI

/// Any form of the core's; each field is kept at once.
struct FormView: View {
    let desk: Desk
    @State private var screen: FormScreen
    /// What is in the fields and is not handed on yet, by their names.
    @State private var typed: [String: String] = [:]
    /// The field for which a tag or a barcode is scanned.
    @State private var scanning: FieldShown?
    @FocusState private var focused: String?
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, of: FormOf) {
        self.desk = desk
        _screen = State(initialValue: FormScreen(desk: desk, of: of))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let done = screen.done {
                    saved(done)
                } else {
                    if let form = screen.shown { shown(form) }
                    if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
                }
            }
            .padding()
        }
        .onAppear { if screen.done == nil { screen.load() } }
        .onDisappear { handOn() }
        .onChange(of: focused) { left, _ in
            if let left { handOn(left) }
        }
        .sheet(isPresented: Binding(get: { scanning != nil }, set: { if !$0 { scanning = nil } })) {
            NavigationStack {
                if scanning?.kind == .scans {
                    ScanView(desk: desk, found: { scanned($0) })
                } else {
                    ScanView(desk: desk, read: { scanned($0) })
                }
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
            ForEach(list.hoses, id: \.code) { SignedRow(verdict: $0.verdict, words: inWords($0)) }
        }
    }

    @ViewBuilder private func shown(_ form: FormShown) -> some View {
        Text(form.title).font(.title2.bold()).accessibilityAddTraits(.isHeader)
        if let code = form.code { Text(code).monospaced() }
        if let hose = form.hose { Text(hose) }
        if !screen.said.isEmpty { Text(screen.said).font(.title3.bold()) }
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
        if screen.trouble == nil, let problem = form.problem { Text(problem) }
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
                screen.drop()
            }
        }
        ForEach(form.cautions, id: \.self) { Text($0) }
    }

    private func submit(_ answer: String? = nil) {
        handOn()
        screen.submit(answer)
    }

    @ViewBuilder private func field(_ field: FieldShown, under title: String) -> some View {
        switch field.kind {
        case .choice, .many:
            if field.label != title { Text(field.label).bold() }
            if let hint = field.hint { Text(hint) }
            ForEach(field.choices, id: \.value) { choice in
                mark(choice.label, chosen: choice.chosen, one: field.kind == .choice, verdict: choice.verdict) {
                    screen.touch(field.name, choice.value)
                }
            }
        case .tick:
            mark(field.label, chosen: !field.value.isEmpty) { screen.touch(field.name) }
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

    /// Something that is chosen or not. One of several has a round mark; what it means
    /// for the hose stands beside it as a sign.
    private func mark(
        _ words: String, chosen: Bool, one: Bool = false, verdict: Verdict? = nil, then: @escaping @MainActor () -> Void
    ) -> some View {
        let (on, off) = one ? ("largecircle.fill.circle", "circle") : ("checkmark.square", "square")
        return Button(action: then) {
            HStack(spacing: 12) {
                if let verdict { SignView(verdict: verdict).frame(width: 32, height: 32) }
                Label(words, systemImage: chosen ? on : off)
            }
            .frame(maxWidth: .infinity, minHeight: 48, alignment: .leading)
        }
        .tint(.primary)
        .accessibilityLabel(verdict.map { "\(words), \(SignView.word($0))" } ?? words)
        .accessibilityAddTraits(chosen ? [.isSelected] : [])
    }

    private func scanned(_ text: String) {
        guard let field = scanning else { return }
        scanning = nil
        typed[field.name] = nil
        if field.kind == .scanToAnswer { screen.submit(field.value + text) } else { screen.touch(field.name, text) }
    }

    /// What stands in one field, or in all, and is not handed on yet.
    private func handOn(_ name: String? = nil) {
        for (field, text) in typed where name == nil || field == name {
            typed[field] = nil
            screen.touch(field, text)
        }
    }
}
