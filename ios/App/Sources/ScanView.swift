import HosewrightKit
import SwiftUI

/// The first page: the camera's picture, and the code to type.
struct ScanView: View {
    let desk: Desk
    /// Where another page asked for a hose: what was found goes there.
    var found: ((String) -> Void)?

    @State private var screen: ScanScreen
    @State private var camera: Camera
    @State private var chips: Chips
    @State private var code = ""
    @State private var torch = false
    @State private var asked: String?
    @AppStorage("name") private var name = "Hosewright"
    @FocusState private var typing: Bool

    init(desk: Desk, found: ((String) -> Void)? = nil) {
        self.desk = desk
        self.found = found
        let screen = ScanScreen(desk: desk)
        _screen = State(initialValue: screen)
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
                }
                LargeButton(words: torch ? "Torch off" : "Torch on") {
                    torch.toggle()
                    camera.torch(torch)
                }
                LargeButton(words: "Read a chip") {
                    chips.read(hint: "Hold the chip to the top of the phone") { screen.chip($0) }
                }
                TextField("Code on the tag", text: $code)
                    .textInputAutocapitalization(.characters)
                    .autocorrectionDisabled()
                    .font(.title3.monospaced())
                    .frame(minHeight: 48)
                    .focused($typing)
                    .onSubmit { screen.typed(code) }
                LargeButton(words: "Answer", main: true) { screen.typed(code) }
                if found == nil { more }
            }
            .padding()
        }
        .font(.body)
        .navigationTitle("Scan")
        .navigationDestination(item: $asked) { text in HoseView(desk: desk, text: text, speaks: true) }
        .onAppear {
            screen.resume()
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

    @ViewBuilder private var more: some View {
        NavigationLink("Sets") { SetsView(desk: desk) }.frame(minHeight: 48)
        NavigationLink("Due") { DueView(desk: desk) }.frame(minHeight: 48)
        NavigationLink("Share and receive") { MeetingView(desk: desk) }.frame(minHeight: 48)
        TextField("Your name, written beside what you enter", text: $name).frame(minHeight: 48)
    }
}
