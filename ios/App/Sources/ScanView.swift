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
    @State private var torch = false
    /// The hose whose answer is looked at.
    @State private var asked: String?
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
                CameraPicture(session: Camera.own.session).frame(height: 260)
                if screen.shown.trouble == nil { Looking(words: screen.hint ?? say.looking) }
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
                LargeButton(words: torch ? say.torchOff : say.torchOn) {
                    torch.toggle()
                    Camera.own.torch(torch)
                }
                LargeButton(words: say.readChip) {
                    chips.read(hint: say.holdChip) { screen.touch(.chipRead(message: $0)) }
                }
                TextField(say.codeOnTag, text: $code)
                    .textInputAutocapitalization(.characters)
                    .autocorrectionDisabled()
                    .font(.title3.monospaced())
                    .frame(minHeight: 48)
                    .focused($typing)
                    .onSubmit { screen.touch(.typed(text: code)) }
                LargeButton(words: say.answer, main: true) { screen.touch(.typed(text: code)) }
                if isFirst { more }
            }
            .padding()
        }
        .font(.body)
        .navigationTitle(say.scan)
        .navigationDestination(item: $asked) { text in HoseView(desk: desk, text: text, speaks: true) }
        .onAppear {
            screen.touch(.look)
            Camera.own.open(for: screen)
        }
        .onDisappear {
            torch = false
            screen.leave()
            Camera.own.close(for: screen)
        }
        .onChange(of: screen.follows) { _, follows in
            guard let follows else { return }
            screen.follows = nil
            switch follows {
            case .hose(let text, _, _): asked = text
            case .found(let text): found?(text)
            case .camera: Camera.own.open(for: screen)
            case .chip: chips.read(hint: say.holdChip) { screen.touch(.chipRead(message: $0)) }
            case .writeChip, .share: break
            }
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
        NavigationLink(say.hoses) { HosesView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.sets) { SetsView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.due) { DueView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.shareAndReceive) { MeetingView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.newHose) { FormView(desk: desk, of: .register(tag: nil)) }.frame(minHeight: 48)
        NavigationLink(say.settings) { FormView(desk: desk, of: .settings) }.frame(minHeight: 48)
        NavigationLink(say.help) { FormView(desk: desk, of: .help) }.frame(minHeight: 48)
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
