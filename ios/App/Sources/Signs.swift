import HosewrightKit
import SwiftUI

/// The sign of a verdict, after ISO 3864-1: a green square, a yellow triangle
/// with a black rim, a blue disc, a red ring with a bar on white. The word stands
/// beside it, so VoiceOver passes over the drawing.
struct SignView: View {
    let verdict: Verdict

    private static let signs = verdictSigns()

    private var sign: Sign? { Self.signs.first { $0.verdict == verdict } }

    var body: some View {
        Canvas { context, size in
            guard let sign else { return }
            let side = min(size.width, size.height)
            let box = CGRect(x: (size.width - side) / 2, y: (size.height - side) / 2, width: side, height: side)
            let (colour, contrast) = (Color(rgb: sign.colour), Color(rgb: sign.contrast))
            switch sign.shape {
            case .square:
                context.fill(Path(box), with: .color(colour))
            case .triangle:
                context.fill(triangle(in: box), with: .color(contrast))
                let rim = side * 0.08
                let inner = CGRect(
                    x: box.minX + rim * 1.7, y: box.minY + rim * 2, width: side - rim * 3.4, height: side - rim * 3.3)
                context.fill(triangle(in: inner), with: .color(colour))
            case .disc:
                context.fill(Path(ellipseIn: box), with: .color(colour))
            case .ringWithBar:
                // The ring is a tenth of the diameter, the bar 0.08 of it, from the upper left.
                let ring = side * 0.1
                context.fill(Path(ellipseIn: box), with: .color(contrast))
                context.stroke(
                    Path(ellipseIn: box.insetBy(dx: ring / 2, dy: ring / 2)), with: .color(colour), lineWidth: ring)
                let reach = (side - ring) / 2 / 2.0.squareRoot()
                var bar = Path()
                bar.move(to: CGPoint(x: box.midX - reach, y: box.midY - reach))
                bar.addLine(to: CGPoint(x: box.midX + reach, y: box.midY + reach))
                context.stroke(bar, with: .color(colour), lineWidth: side * 0.08)
            }
        }
        .accessibilityHidden(true)
    }

    /// The word of the verdict.
    static func word(_ verdict: Verdict) -> String {
        signs.first { $0.verdict == verdict }?.word ?? ""
    }

    private func triangle(in box: CGRect) -> Path {
        var path = Path()
        path.move(to: CGPoint(x: box.midX, y: box.minY))
        path.addLine(to: CGPoint(x: box.maxX, y: box.maxY))
        path.addLine(to: CGPoint(x: box.minX, y: box.maxY))
        path.closeSubpath()
        return path
    }
}

extension Color {
    /// A colour written as 0xRRGGBB.
    init(rgb: UInt32) {
        self.init(
            red: Double(rgb >> 16 & 0xFF) / 255, green: Double(rgb >> 8 & 0xFF) / 255, blue: Double(rgb & 0xFF) / 255)
    }
}

/// Something that is chosen or not. One of several has a round mark; what it means
/// for the hose stands beside it as a sign.
struct ChoiceMark: View {
    let words: String
    let chosen: Bool
    var one = false
    var verdict: Verdict?
    let then: @MainActor () -> Void

    var body: some View {
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
}

/// Words beside the small sign of a verdict, under their name if they have one, with
/// what to do.
struct SignedRow: View {
    let verdict: Verdict
    var name = ""
    let words: String
    var todo = ""

    var body: some View {
        HStack(alignment: .top, spacing: 12) {
            SignView(verdict: verdict).frame(width: 32, height: 32)
            Entry(name: name, words: words, todo: todo)
        }
        .frame(minHeight: 48)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel([SignView.word(verdict), name, words, todo].filter { !$0.isEmpty }.joined(separator: ". "))
    }
}

extension SignedRow {
    /// A hose of a list.
    init(_ hose: HoseLine) {
        self.init(verdict: hose.verdict, name: hose.name, words: hose.facts, todo: hose.todo)
    }
}

/// Something and, under it, what is to be said of it.
struct Entry: View {
    let name: String
    let words: String
    var todo = ""

    var body: some View {
        VStack(alignment: .leading, spacing: 4) {
            if !name.isEmpty { Text(name).bold() }
            Text(words)
            if !todo.isEmpty { Text("→ \(todo)").bold() }
        }
        .frame(maxWidth: .infinity, minHeight: 48, alignment: .leading)
    }
}

/// The ways to the hoses of each verdict, side by side: sign, word and number.
struct VerdictBar: View {
    let ways: [VerdictShown]
    let then: @MainActor (Verdict?) -> Void

    var body: some View {
        // As many beside each other as have room.
        LazyVGrid(columns: [GridItem(.adaptive(minimum: 60), spacing: 4)], spacing: 4) {
            ForEach(ways, id: \.words) { way in
                Button { then(way.verdict) } label: {
                    VStack(spacing: 4) {
                        if let verdict = way.verdict { SignView(verdict: verdict).frame(width: 32, height: 32) }
                        Text(way.word).fontWeight(way.chosen ? .bold : .regular)
                        Text(way.hoses).fontWeight(way.chosen ? .bold : .regular)
                    }
                    .frame(maxWidth: .infinity, minHeight: 48, maxHeight: .infinity)
                    .overlay(RoundedRectangle(cornerRadius: 8).stroke(.primary, lineWidth: way.chosen ? 3 : 1))
                }
                .buttonStyle(.borderless)
                .tint(.primary)
                .accessibilityLabel(way.words)
                .accessibilityAddTraits(way.chosen ? [.isSelected] : [])
            }
        }
    }
}

/// A button within the thumb's reach: 48 points high or more, its words large.
struct LargeButton: View {
    let words: String
    var main = false
    let then: @MainActor () -> Void

    var body: some View {
        Button(action: then) {
            Text(words)
                .font(.title3.weight(main ? .bold : .regular))
                .frame(maxWidth: .infinity, minHeight: 56)
        }
        .buttonStyle(.bordered)
        .tint(.primary)
    }
}

/// How far something long is, and what stops it. That it began is said to who does not see it,
/// and not each step of it.
struct UnderWay: View {
    let screen: Screen

    var body: some View {
        Text(screen.progress ?? "").bold().onAppear { announce(screen.progress ?? "") }
        LargeButton(words: say.stop, main: true) { screen.stop() }
    }
}

/// What leads to the page that is next, as large as a button.
struct Ahead<Page: View>: View {
    let words: String
    @ViewBuilder let page: () -> Page

    var body: some View {
        NavigationLink(destination: page) {
            Text(words).font(.title3.bold()).frame(maxWidth: .infinity, minHeight: 56)
        }
        .buttonStyle(.bordered)
        .tint(.primary)
    }
}

extension View {
    /// The same with what is to be done next under it, whatever is scrolled.
    func pinned<Action: View>(@ViewBuilder _ action: () -> Action) -> some View {
        let actions = VStack(alignment: .leading, spacing: 8) { action() }
        return safeAreaInset(edge: .bottom) { actions.padding(8).background(.background) }
    }

    /// The same with a way back that changes nothing.
    func cancelled(_ cancel: @escaping @MainActor () -> Void) -> some View {
        toolbar {
            ToolbarItem(placement: .cancellationAction) { Button(say.leaveIt, action: cancel) }
        }
    }
}

/// What other devices have of what is here; what is lost with this phone stands in a frame.
struct Closing: View {
    let sharing: SharingShown

    var body: some View {
        VStack(alignment: .leading, spacing: 8) {
            Text(sharing.title).font(.title3.bold()).accessibilityAddTraits(.isHeader)
            ForEach(sharing.words, id: \.self) { Text($0).bold(sharing.warn) }
        }
        .padding(sharing.warn ? 12 : 0)
        .overlay(RoundedRectangle(cornerRadius: 8).stroke(.primary, lineWidth: sharing.warn ? 2 : 0))
    }
}

/// What stands in the way of a page, and what is asked first.
struct Blocked: View {
    let screen: Screen
    /// What else can be done about it, if the page knows something.
    var goOn: @MainActor (WayOn) -> Bool = { _ in false }
    @State private var answer = ""

    var body: some View {
        if let question = screen.shown.question {
            VStack(alignment: .leading, spacing: 12) {
                ForEach(question.words, id: \.self) { Text($0).font(.title3.bold()) }
                if let field = question.field {
                    Text(field).accessibilityHidden(true)
                    TextField(field, text: $answer).frame(minHeight: 48)
                }
                LargeButton(words: question.yes, main: true) { screen.touch(.yes(text: answer)) }
                LargeButton(words: question.no) { screen.touch(.dismiss) }
            }
            .padding()
            .overlay(RoundedRectangle(cornerRadius: 8).stroke(.primary, lineWidth: 2))
            .onAppear { announce(question.words.joined(separator: " ")) }
        }
        if let trouble = screen.shown.trouble {
            TroubleView(trouble: trouble) { way in
                if goOn(way) { return }
                switch way {
                case .tryAgain: screen.touch(.tryAgain)
                case .typeCode, .shareCopy, .salvage: screen.touch(.dismiss)
                case .ask, .appSettings, .chipSettings, .storageSettings: openSettings()
                }
            }
        }
    }
}

/// iOS asks once; from then on its settings decide.
@MainActor
private func openSettings() {
    if let settings = URL(string: UIApplication.openSettingsURLString) { UIApplication.shared.open(settings) }
}

/// Says something to who does not see it.
@MainActor
func announce(_ words: String) {
    AccessibilityNotification.Announcement(words).post()
}

/// What stands in the way, with the ways on.
struct TroubleView: View {
    let trouble: Trouble
    let goOn: @MainActor (WayOn) -> Void
    @Environment(\.desk) private var desk

    var body: some View {
        VStack(alignment: .leading, spacing: 12) {
            Text(trouble.words).font(.title3.bold())
            if !trouble.todo.isEmpty { Text(trouble.todo) }
            ForEach(trouble.waysOn, id: \.words) { way in
                if way.way == .shareCopy {
                    ShareLink(items: Desk.ownFiles()) { Text(way.words) }.frame(minHeight: 56)
                } else if way.way == .salvage {
                    if let desk { NavigationLink(way.words) { SalvageView(desk: desk) }.frame(minHeight: 56) }
                } else {
                    LargeButton(words: way.words) { goOn(way.way) }
                }
            }
        }
        .padding()
        .overlay(RoundedRectangle(cornerRadius: 8).stroke(.primary, lineWidth: 2))
        // A second one in place of the first is said too, also if its words are the same.
        .onChange(of: trouble.number, initial: true) { announce("\(trouble.words) \(trouble.todo)") }
    }
}

/// The record of this phone, for what blocks it of it on any page.
private struct DeskKey: EnvironmentKey {
    static let defaultValue: Desk? = nil
}

extension EnvironmentValues {
    /// The record of this phone.
    var desk: Desk? {
        get { self[DeskKey.self] }
        set { self[DeskKey.self] = newValue }
    }
}
