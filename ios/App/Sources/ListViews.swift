import HosewrightKit
import SwiftUI
import UniformTypeIdentifiers

/// A hose of a list in one sentence.
func inWords(_ hose: HoseLine) -> String {
    let place = hose.port.map { "\($0): " } ?? ""
    return ["\(place)\(hose.words), \(hose.code)", hose.why, hose.todo].filter { !$0.isEmpty }.joined(separator: ". ")
}

/// Every set.
struct SetsView: View {
    let desk: Desk
    @State private var screen: SetsScreen

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: SetsScreen(desk: desk))
    }

    var body: some View {
        List {
            if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
            ForEach(screen.shown ?? [], id: \.name) { set in
                NavigationLink {
                    SetView(desk: desk, name: set.name)
                } label: {
                    if let worst = set.worst {
                        SignedRow(verdict: worst, words: "\(set.name): \(set.words)")
                    } else {
                        Text("\(set.name): \(set.words)").frame(minHeight: 48)
                    }
                }
            }
        }
        .navigationTitle(say.sets)
        .onAppear { screen.load() }
    }
}

/// A set, port by port.
struct SetView: View {
    let desk: Desk
    @State private var screen: SetScreen

    init(desk: Desk, name: String) {
        self.desk = desk
        _screen = State(initialValue: SetScreen(desk: desk, name: name))
    }

    var body: some View {
        List {
            if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
            if let shown = screen.shown {
                Text(shown.set.words)
                if let next = shown.next, case .form(let of) = next.goes {
                    NavigationLink(next.words) { FormView(desk: desk, of: of) }.frame(minHeight: 56)
                }
                ForEach(shown.ports, id: \.port) { port in
                    if let hose = port.hose {
                        NavigationLink {
                            HoseView(desk: desk, text: hose.code)
                        } label: {
                            SignedRow(verdict: hose.verdict, words: inWords(hose))
                        }
                    } else {
                        Text("\(port.port): \(port.holds)")
                    }
                }
                if let picture = screen.picture { PictureView(picture: picture) }
            }
        }
        .navigationTitle(screen.shown?.title ?? say.sets)
        .onAppear { screen.load() }
    }
}

/// What is due.
struct DueView: View {
    let desk: Desk
    @State private var screen: DueScreen

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: DueScreen(desk: desk))
    }

    var body: some View {
        List {
            if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
            LargeButton(words: say.next90Days) { screen.load() }
            LargeButton(words: say.nextYear) { screen.load(within: "1y") }
            if let list = screen.shown {
                Text(list.words).font(.title3.bold())
                ForEach(Array(list.rows.enumerated()), id: \.offset) { _, row in
                    NavigationLink {
                        HoseView(desk: desk, text: row.code)
                    } label: {
                        Text("\(row.what), \(row.when): \(row.code), \(row.hose), \(row.place)").frame(minHeight: 48)
                    }
                }
                if let left = list.leftOut { Text(left) }
            }
        }
        .navigationTitle(say.due)
        .onAppear { screen.load() }
    }
}

/// Records that meet: the share sheet out, and a file in.
struct MeetingView: View {
    let desk: Desk
    @State private var screen: MeetingScreen
    @State private var picking = false
    /// A file that another app handed over and that is not taken in yet.
    @State private var incoming: URL?
    /// Damaged records that were set aside.
    @State private var setAside: [URL] = []

    init(desk: Desk, incoming: URL? = nil) {
        self.desk = desk
        _screen = State(initialValue: MeetingScreen(desk: desk))
        _incoming = State(initialValue: incoming)
    }

    var body: some View {
        List {
            if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
            if screen.asking > 0 { Text(screen.progress ?? say.asking) }
            switch screen.shown {
            case .bundled(let file, let words):
                Text(words)
                ShareLink(item: file).frame(minHeight: 56)
            case .takenIn(let merged):
                ForEach(merged.words, id: \.self) { Text($0) }
            case nil:
                EmptyView()
            }
            LargeButton(words: say.shareRecord, main: true) {
                screen.bundle(to: FileManager.default.temporaryDirectory.appendingPathComponent("phone.hwbundle"))
            }
            LargeButton(words: say.receiveRecord) { picking = true }
            if !setAside.isEmpty {
                ShareLink(items: setAside) { Text(say.shareDamaged) }.frame(minHeight: 56)
            }
        }
        .navigationTitle(say.shareAndReceive)
        .onAppear {
            setAside = screen.setAside
            guard let file = incoming else { return }
            incoming = nil
            screen.takeIn(file)
        }
        .fileImporter(isPresented: $picking, allowedContentTypes: [.data]) { picked in
            switch picked {
            case .success(let file): screen.takeIn(file)
            case .failure: screen.obstacle(.fileLost)
            }
        }
    }
}
