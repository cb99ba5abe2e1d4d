import HosewrightKit
import SwiftUI

/// The first page: the camera's picture, and the code to type.
struct ScanView: View {
    let desk: Desk
    /// What is scanned for; the page that asked for it gets it.
    let wanted: Wanted
    let found: (@MainActor (String) -> Void)?

    @State private var screen: Screen
    @State private var chips: Chips
    @State private var code = ""
    /// The hose whose answer is looked at.
    @State private var asked: String?
    /// The set whose tag was scanned.
    @State private var askedSet: String?
    /// The form to which what was scanned leads.
    @State private var askedForm: FormOf?
    @FocusState private var typing: Bool

    /// The first page.
    init(desk: Desk) {
        self.init(desk: desk, of: .answer, found: nil)
    }

    /// A page that scans for another one.
    init(desk: Desk, wanted: Wanted, found: @escaping @MainActor (String) -> Void) {
        self.init(desk: desk, of: wanted, found: found)
    }

    private init(desk: Desk, of wanted: Wanted, found: (@MainActor (String) -> Void)?) {
        self.desk = desk
        self.wanted = wanted
        self.found = found
        let screen = Screen(desk: desk, of: .scan(wanted: wanted))
        _screen = State(initialValue: screen)
        _chips = State(initialValue: Chips(hindered: { screen.hindered($0, $1) }))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                CameraView(screen: screen)
                Blocked(screen: screen) { way in
                    if way == .typeCode { typing = true }
                    return way == .typeCode
                }
                if let trouble = screen.shown.trouble {
                    ForEach(trouble.near, id: \.code) { near in
                        LargeButton(words: near.words) { screen.touch(.typed(text: near.code)) }
                    }
                    if let tag = trouble.unused, isFirst {
                        NavigationLink(say.registerIt) { FormView(desk: desk, of: .register(tag: tag)) }
                            .frame(minHeight: 56)
                    }
                }
                LargeButton(words: say.readChip) {
                    chips.read(hint: say.holdChip) { screen.touch(.chipRead(message: $0)) }
                }
                CodeField(code: $code) { screen.touch(.typed(text: code)) }
                    .focused($typing)
                LargeButton(words: say.answer, main: true) { screen.touch(.typed(text: code)) }
                if isFirst { more }
            }
            .padding()
        }
        .font(.body)
        .navigationTitle(say.scan)
        .navigationDestination(item: $asked) { text in HoseView(desk: desk, text: text, speaks: true) }
        .navigationDestination(item: $askedSet) { name in SetView(desk: desk, name: name) }
        .navigationDestination(item: $askedForm) { of in FormView(desk: desk, of: of) }
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
            case .hose(let text, _, _): asked = text
            case .set(let name): askedSet = name
            case .form(let of): askedForm = of
            case .found(let text): found?(text)
            case .camera: Camera.own.open(for: screen)
            case .chip: chips.read(hint: say.holdChip) { screen.touch(.chipRead(message: $0)) }
            case .writeChip, .share, .ticks, .ticked, .askToRemind: break
            }
        }
        .onChange(of: screen.shown.reminding) { _, reminding in
            if let reminding { Reminders.keep(reminding.next) }
        }
    }

    /// Whether this is the first page, and no other asked for something.
    private var isFirst: Bool { wanted == .answer }

    @ViewBuilder private var more: some View {
        if let greeting = screen.shown.welcome {
            Text(greeting.words).font(.title3.bold()).accessibilityAddTraits(.isHeader)
            ForEach(greeting.ways, id: \.words) { way in
                Text(way.lead)
                NavigationLink(way.words) {
                    switch way.way {
                    case .register: FormView(desk: desk, of: .register(tag: nil))
                    case .bringIn: MeetingView(desk: desk)
                    }
                }
                .frame(minHeight: 56)
            }
        }
        if let sharing = screen.shown.sharing { Closing(sharing: sharing) }
        NavigationLink(say.hoses) { HosesView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.sets) { SetsView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.due) { DueView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.shareAndReceive) { MeetingView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.newHose) { FormView(desk: desk, of: .register(tag: nil)) }.frame(minHeight: 48)
        NavigationLink(say.settings) { FormView(desk: desk, of: .settings) }.frame(minHeight: 48)
        NavigationLink(say.help) { FormView(desk: desk, of: .help) }.frame(minHeight: 48)
    }
}

/// The camera's picture, what to do so that a tag is read, and the light.
struct CameraView: View {
    let screen: Screen
    /// Whether tags are looked for; a film says itself how far it is.
    var tags = true
    @State private var torch = false
    @State private var nearer: CGFloat = 1
    @State private var darker = false

    var body: some View {
        CameraPicture(session: Camera.own.session).frame(height: 260)
        if tags, screen.shown.trouble == nil { Looking(words: screen.hint ?? say.looking) }
        HStack(spacing: 8) {
            LargeButton(words: torch ? say.torchOff : say.torchOn) {
                torch.toggle()
                Camera.own.torch(torch)
            }
            LargeButton(words: "\(say.zoom) \(Int(nearer)) ×") {
                nearer = nearer < 4 ? nearer * 2 : 1
                Camera.own.zoom(nearer)
            }
        }
        LargeButton(words: darker ? say.usualLight : say.lessGlare) {
            darker.toggle()
            Camera.own.darker(darker)
        }
        // The next page finds it as it is by itself.
        .onDisappear {
            if nearer > 1 { Camera.own.zoom(1) }
            if darker { Camera.own.darker(false) }
            (torch, nearer, darker) = (false, 1, false)
        }
    }
}

/// A code as it is typed from a tag.
struct CodeField: View {
    @Binding var code: String
    let then: @MainActor () -> Void

    var body: some View {
        TextField(say.codeOnTag, text: $code)
            .textInputAutocapitalization(.characters)
            .autocorrectionDisabled()
            .font(.title3.monospaced())
            .frame(minHeight: 48)
            .onSubmit(then)
    }
}

/// What to do so that a tag is read; said to who does not see it, too.
private struct Looking: View {
    let words: String

    var body: some View {
        Text(words)
            .font(.title3.bold())
            .onChange(of: words) { _, now in announce(now) }
    }
}
