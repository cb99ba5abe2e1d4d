import HosewrightKit
import SwiftUI

/// Describing a hose, on record or not yet; each field is kept at once.
struct HoseFormView: View {
    let desk: Desk
    @State private var screen: HoseFormScreen
    /// What stands in the fields and is not handed on yet, by their names.
    @State private var typed: [String: String] = [:]
    /// The field for which a tag or a barcode is scanned.
    @State private var scanning: String?
    @FocusState private var focused: String?
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, of: HoseSubject) {
        self.desk = desk
        _screen = State(initialValue: HoseFormScreen(desk: desk, of: of))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                if let done = screen.finished {
                    Text(done.words).font(.title3.bold())
                    NavigationLink(done.answer.code) { HoseView(desk: desk, text: done.answer.code) }.frame(minHeight: 56)
                    LargeButton(words: "Finished", main: true) { dismiss() }
                } else {
                    if let form = screen.shown { shown(form) }
                    if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
                }
            }
            .padding()
        }
        .onAppear { if screen.finished == nil { screen.load() } }
        .onDisappear { handOn() }
        .onChange(of: focused) { left, _ in
            if let left { handOn(left) }
        }
        .sheet(isPresented: Binding(get: { scanning != nil }, set: { if !$0 { scanning = nil } })) {
            NavigationStack {
                ScanView(desk: desk, read: { text in
                    guard let field = scanning else { return }
                    scanning = nil
                    typed[field] = nil
                    screen.fill(field, text)
                })
            }
        }
    }

    @ViewBuilder private func shown(_ form: HoseForm) -> some View {
        Text(form.title).font(.title2.bold()).accessibilityAddTraits(.isHeader)
        if let tag = form.tag { Text(tag).monospaced() }
        ForEach(form.lead, id: \.self) { Text($0) }
        ForEach(form.fields, id: \.name) { field($0) }
        if screen.trouble == nil, let missing = form.missing { Text(missing) }
        LargeButton(words: "Save", main: true) {
            handOn()
            screen.finish()
        }
        LargeButton(words: "Start again") {
            typed = [:]
            screen.drop()
        }
    }

    @ViewBuilder private func field(_ field: FieldShown) -> some View {
        switch field.entry {
        case .choice:
            Text(field.label).font(.title3.bold()).accessibilityAddTraits(.isHeader)
            ForEach(field.choices, id: \.value) { choice in
                mark(choice.words, chosen: choice.chosen) { screen.fill(field.name, choice.value) }
            }
        case .yesNo:
            mark(field.label, chosen: !field.value.isEmpty) { screen.tick(field.name, field.value.isEmpty) }
        case .text:
            text(field)
        case .tag, .barcode:
            text(field)
            LargeButton(words: "Scan") { scanning = field.name }
        }
        if let wrong = field.wrong { Text(wrong).bold() }
    }

    @ViewBuilder private func text(_ field: FieldShown) -> some View {
        Text(field.label).accessibilityHidden(true)
        TextField(
            field.hint ?? "",
            text: Binding(get: { typed[field.name] ?? field.value }, set: { typed[field.name] = $0 })
        )
        .autocorrectionDisabled()
        .frame(minHeight: 48)
        .focused($focused, equals: field.name)
        .onSubmit { handOn(field.name) }
        .accessibilityLabel(field.label)
        if let hint = field.hint { Text(hint) }
    }

    private func mark(_ words: String, chosen: Bool, then: @escaping () -> Void) -> some View {
        Button(action: then) {
            Label(words, systemImage: chosen ? "checkmark.square" : "square")
                .frame(maxWidth: .infinity, minHeight: 48, alignment: .leading)
        }
        .tint(.primary)
        .accessibilityAddTraits(chosen ? [.isSelected] : [])
    }

    /// What stands in one field, or in all, and is not handed on yet.
    private func handOn(_ name: String? = nil) {
        for (field, text) in typed where name == nil || field == name {
            typed[field] = nil
            screen.fill(field, text)
        }
    }
}
