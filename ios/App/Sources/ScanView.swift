import HosewrightKit
import SwiftUI

/// The first page: the camera's picture, and the code to type.
struct ScanView: View {
    let desk: Desk
    /// If another page asked for a hose: what was found goes there.
    var found: (@MainActor @Sendable (String) -> Void)?
    /// If another page asked for whatever is written on a tag or a barcode.
    var read: (@MainActor @Sendable (String) -> Void)?

    @State private var screen: ScanScreen
    @State private var welcome: WelcomeScreen
    @State private var camera: Camera
    @State private var chips: Chips
    @State private var code = ""
    @State private var torch = false
    @State private var asked: String?
    @AppStorage("name") private var name = "Hosewright"
    @FocusState private var typing: Bool

    init(
        desk: Desk, found: (@MainActor @Sendable (String) -> Void)? = nil, read: (@MainActor @Sendable (String) -> Void)? = nil
    ) {
        self.desk = desk
        self.found = found
        self.read = read
        let screen = ScanScreen(desk: desk, read: read)
        _screen = State(initialValue: screen)
        _welcome = State(initialValue: WelcomeScreen(desk: desk))
        _camera = State(initialValue: Camera(seen: { screen.seen($0) }, obstacle: { screen.obstacle($0) }))
        _chips = State(initialValue: Chips(obstacle: { screen.obstacle($0) }))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                CameraPicture(session: camera.session).frame(height: 260)
                if let trouble = screen.trouble {
                    TroubleView(trouble: trouble) { way in
                        if way == .typeCode { typing = true } else { goOn(way, screen) }
                    }
                    ForEach(trouble.near, id: \.self) { near in
                        LargeButton(words: near) { screen.typed(near) }
                    }
                    if let tag = trouble.unused, found == nil {
                        NavigationLink(say.registerIt) { FormView(desk: desk, of: .register(tag: tag)) }
                            .frame(minHeight: 56)
                    }
                }
                LargeButton(words: torch ? say.torchOff : say.torchOn) {
                    torch.toggle()
                    camera.torch(torch)
                }
                LargeButton(words: say.readChip) {
                    chips.read(hint: say.holdChip) { screen.chip($0) }
                }
                TextField(say.codeOnTag, text: $code)
                    .textInputAutocapitalization(.characters)
                    .autocorrectionDisabled()
                    .font(.title3.monospaced())
                    .frame(minHeight: 48)
                    .focused($typing)
                    .onSubmit { screen.typed(code) }
                LargeButton(words: say.answer, main: true) { screen.typed(code) }
                if isFirst { more }
            }
            .padding()
        }
        .font(.body)
        .navigationTitle(say.scan)
        .navigationDestination(item: $asked) { text in HoseView(desk: desk, text: text, speaks: true) }
        .onAppear {
            screen.resume()
            if isFirst { welcome.load() }
            camera.open()
        }
        .onDisappear {
            torch = false
            camera.close()
        }
        .onChange(of: screen.shown) { _, answer in
            guard let answer else { return }
            if let found {
                found(answer.code)
            } else {
                asked = answer.onRecord ? answer.code : screen.lastText ?? answer.code
            }
        }
    }

    /// Whether this is the first page, and no other asked for something.
    private var isFirst: Bool { found == nil && read == nil }

    @ViewBuilder private var more: some View {
        if screen.trouble == nil, let trouble = welcome.trouble { TroubleView(trouble: trouble) { goOn($0, welcome) } }
        if let greeting = welcome.shown {
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
        NavigationLink(say.sets) { SetsView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.due) { DueView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.shareAndReceive) { MeetingView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.newHose) { FormView(desk: desk, of: .register(tag: nil)) }.frame(minHeight: 48)
        TextField(say.yourName, text: $name).frame(minHeight: 48)
    }
}
