import HosewrightKit
import SwiftUI

/// Any form of the core's; each field is kept at once.
struct FormView: View {
    let desk: Desk
    let of: FormOf
    @State private var screen: Screen
    /// What is in the fields and is not handed on yet, by their names.
    @State private var typed: [String: String] = [:]
    /// The field for which a tag or a barcode is scanned.
    @State private var scanning: FieldShown?
    /// Hoses tick off before the camera.
    @State private var ticking = false
    /// What was made to be shared.
    @State private var made: URL?
    @FocusState private var focused: String?
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, of: FormOf) {
        self.desk = desk
        self.of = of
        _screen = State(initialValue: Screen(desk: desk, of: .form(of: of)))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let done = screen.shown.done {
                    saved(done)
                } else {
                    if let form = screen.shown.form {
                        if let place = form.place { asked(place, of: form) } else { shown(form) }
                    }
                    Blocked(screen: screen)
                }
            }
            .padding()
        }
        .pinned { pinned }
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
                // What counts as found is whatever is written there.
                ScanView(desk: desk, wanted: .text) { scanned($0) }
                    .cancelled { scanning = nil }
            }
        }
        .sheet(isPresented: $ticking, onDismiss: { screen.touch(.look) }) {
            NavigationStack {
                TicksView(desk: desk, of: of) { ticking = false }
            }
        }
        .onChange(of: screen.follows) { _, follows in
            switch follows {
            case .ticks: ticking = true
            case .askToRemind: Reminders.ask { screen.hindered(.remindersRefused) }
            default: return
            }
            screen.follows = nil
        }
        .onChange(of: screen.shown.done?.made) { _, made in
            guard let made else { return }
            desk.beside({ Received.keep(made.bytes, as: made.file) }) { file in
                self.made = file
                if file == nil { screen.hindered(.storageFull) }
            }
        }
    }

    /// What is done next, within the thumb's reach, and what it is about.
    @ViewBuilder private var pinned: some View {
        if screen.underWay {
            UnderWay(screen: screen)
        } else if screen.shown.done != nil {
            LargeButton(words: say.finished, main: true) { dismiss() }
        } else if let form = screen.shown.form {
            if let place = form.place {
                ForEach(place.buttons.filter { $0.answer != .before }, id: \.words) { button in
                    LargeButton(words: button.words, main: button == place.buttons.first) {
                        screen.touch(.place(place: place.place, answer: button.answer))
                    }
                }
            } else {
                if let named = form.named, !form.submit.isEmpty || !form.answers.isEmpty { Text(named).bold() }
                if form.answers.isEmpty && !form.submit.isEmpty {
                    LargeButton(words: form.submit, main: true) { submit() }
                }
                if let usual = form.answers.first {
                    LargeButton(words: usual.label, main: true) { submit(usual.value) }
                }
            }
        }
    }

    /// One place of an inspection.
    @ViewBuilder private func asked(_ place: PlaceShown, of form: FormShown) -> some View {
        Text([place.words, form.named ?? ""].filter { !$0.isEmpty }.joined(separator: ". "))
        ForEach(Array(place.groups.enumerated()), id: \.offset) { _, one in group(one) }
        if place.buttons.contains(where: { $0.answer == .before }), let before = place.buttons.last {
            LargeButton(words: before.words) { screen.touch(.place(place: place.place, answer: .before)) }
        }
        if form.begun { anew }
    }

    private var anew: some View {
        LargeButton(words: say.startAgain) {
            typed = [:]
            screen.touch(.startAgain)
        }
    }

    @ViewBuilder private func group(_ group: GroupShown) -> some View {
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

    @ViewBuilder private func saved(_ done: FormSaved) -> some View {
        Text(done.words).font(.title3.bold())
        ForEach(done.notes, id: \.self) { Text($0) }
        ForEach(done.lists, id: \.title) { HoseListView(list: $0) }
        if let file = made { ShareLink(item: file) { Text(say.shareFile).font(.title3.bold()) }.frame(minHeight: 56) }
        if let code = done.answer?.code {
            NavigationLink(code) { HoseView(desk: desk, text: code) }.frame(minHeight: 56)
        }
    }

    @ViewBuilder private func shown(_ form: FormShown) -> some View {
        if let code = form.code { Text(code).monospaced() }
        if let hose = form.hose { Text(hose) }
        ForEach(screen.shown.said, id: \.self) { Text($0).font(.title3.bold()) }
        ForEach(form.lead, id: \.self) { Text($0) }
        ForEach(form.places, id: \.place) { place in
            Button { screen.touch(.toPlace(place: place.place)) } label: { Entry(name: place.name, words: place.words) }
                .tint(.primary)
        }
        ForEach(Array(form.groups.enumerated()), id: \.offset) { _, one in if !one.ofPlace { group(one) } }
        if screen.shown.trouble == nil, let problem = form.problem { Text(problem) }
        ForEach(form.answers.dropFirst(), id: \.value) { answer in
            LargeButton(words: answer.label) { submit(answer.value) }
        }
        ForEach(form.lines, id: \.name) { Text("\($0.name): \($0.words)") }
        ForEach(form.lists, id: \.title) { HoseListView(list: $0) }
        // What is under way is stopped first.
        if let other = form.other, !screen.underWay { follow(other) }
        if form.begun { anew }
        ForEach(form.cautions, id: \.self) { Text($0) }
    }

    /// Goes where an action leads, if that is a form or the camera.
    @ViewBuilder private func follow(_ action: ActionShown) -> some View {
        switch action.goes {
        case .form(let of): NavigationLink(action.words) { FormView(desk: desk, of: of) }.frame(minHeight: 48)
        case .scan: Ahead(words: action.words) { ScanView(desk: desk) }
        default: Text(action.words)
        }
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
            if let hint = field.hint { Text(hint) }
        case .photo:
            PhotoField(desk: desk, screen: screen, field: field, title: title)
        case .scans:
            LargeButton(words: field.label, main: true) { ticking = true }
        case .scanToAnswer:
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
