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
        .navigationTitle("Sets")
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
                if shown.set.rental {
                    NavigationLink(shown.set.out ? "Take back" : "Hand out") {
                        if shown.set.out {
                            FormView(desk: desk, of: .takeBack(set: shown.set.name))
                        } else {
                            HandOutView(desk: desk, set: shown.set.name)
                        }
                    }
                    .frame(minHeight: 56)
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
        .navigationTitle(screen.shown?.set.name ?? "")
        .onAppear { screen.load() }
    }
}

/// Handing a set out.
struct HandOutView: View {
    let desk: Desk
    @State private var screen: HandOutScreen
    @State private var scanning = false
    @State private var ticket = ""
    @State private var lifting = false
    @State private var why = ""
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk, set: String) {
        self.desk = desk
        _screen = State(initialValue: HandOutScreen(desk: desk, set: set))
    }

    var body: some View {
        List {
            if let done = screen.done {
                Text(done.words).font(.title3.bold())
                hoses("Tell the hirer", done.watch)
                LargeButton(words: "Finished", main: true) { dismiss() }
            } else {
                if let trouble = screen.trouble { TroubleView(trouble: trouble) { goOn($0, screen) } }
                if let check = screen.shown { shown(check) }
            }
        }
        .onAppear { screen.load() }
        .sheet(isPresented: $scanning) {
            NavigationStack {
                ScanView(desk: desk) { code in
                    scanning = false
                    screen.scan(code)
                }
            }
        }
        .alert("Why", isPresented: $lifting) {
            TextField("Why", text: $why)
            Button("Hand out") { screen.finish(ticket: ticket, overrideWhy: why) }
            Button("Cancel", role: .cancel) {}
        }
    }

    @ViewBuilder private func shown(_ check: HandOut) -> some View {
        Text(check.words).font(.title3.bold())
        LargeButton(words: "Scan", main: !check.ready) { scanning = true }
        TextField("Ticket", text: $ticket).frame(minHeight: 48)
        if check.ready {
            LargeButton(words: "Hand out", main: true) { screen.finish(ticket: ticket) }
        }
        ForEach(check.stops, id: \.words) { Text("\($0.words) \($0.todo)") }
        if let words = check.lifting { Text(words) }
        if !check.ready && check.canBeLifted {
            LargeButton(words: "Reason to hand it out anyway") { lifting = true }
        }
        hoses("Not scanned yet", check.missing)
        hoses("Scanned", check.found)
        ForEach(check.foreign, id: \.scanned) { foreign in
            Text("Not of this set. \(foreign.code ?? foreign.scanned): \(foreign.words)")
            LargeButton(words: "Put back \(foreign.code ?? foreign.scanned)") { screen.unscan(foreign.scanned) }
        }
        hoses("On hold", check.held)
        hoses("Never again", check.retired)
        hoses("Tell the hirer", check.watch)
        LargeButton(words: "Start again") { screen.anew() }
    }

    @ViewBuilder private func hoses(_ name: String, _ hoses: [HoseLine]) -> some View {
        if !hoses.isEmpty {
            Section(name) {
                ForEach(hoses, id: \.code) { SignedRow(verdict: $0.verdict, words: inWords($0)) }
            }
        }
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
            LargeButton(words: "90 days") { screen.load() }
            LargeButton(words: "1 year") { screen.load(within: "1y") }
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
        .navigationTitle("Due")
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
            if screen.asking > 0 { Text(screen.progress ?? "One moment") }
            switch screen.shown {
            case .bundled(let file, let words):
                Text(words)
                ShareLink(item: file).frame(minHeight: 56)
            case .takenIn(let merged):
                ForEach(merged.words, id: \.self) { Text($0) }
            case nil:
                EmptyView()
            }
            LargeButton(words: "Share the whole record", main: true) {
                screen.bundle(to: FileManager.default.temporaryDirectory.appendingPathComponent("phone.hwbundle"))
            }
            LargeButton(words: "Import a file") { picking = true }
            if !setAside.isEmpty {
                ShareLink(items: setAside) { Text("Share the damaged record that was set aside") }.frame(minHeight: 56)
            }
        }
        .navigationTitle("Share and receive")
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
