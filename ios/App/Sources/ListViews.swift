import HosewrightKit
import SwiftUI
import UniformTypeIdentifiers

/// Every hose: by verdict, or by what is known of it.
struct HosesView: View {
    let desk: Desk
    @State private var screen: Screen
    @State private var text = ""

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .hoses))
    }

    var body: some View {
        List {
            Blocked(screen: screen)
            Text(say.find).accessibilityHidden(true)
            TextField("", text: $text)
                .autocorrectionDisabled()
                .frame(minHeight: 48)
                .onSubmit { screen.touch(.find(text: text)) }
                .accessibilityLabel(say.find)
            if let list = screen.shown.hoses {
                VerdictBar(ways: list.verdicts) { verdict in
                    text = ""
                    screen.touch(.ofVerdict(verdict: verdict))
                }
                Text(list.words).font(.title3.bold()).accessibilityAddTraits(.isHeader)
                ForEach(list.hoses, id: \.code) { hose in
                    NavigationLink {
                        HoseView(desk: desk, text: hose.code)
                    } label: {
                        SignedRow(hose)
                    }
                }
                if list.more {
                    LargeButton(words: say.more) { screen.touch(.more(shown: UInt64(list.hoses.count))) }
                }
            }
        }
        .pinned {
            if screen.shown.hoses?.hoses.isEmpty == false { Ahead(words: say.printTags) { FormView(desk: desk, of: .tags(set: nil)) } }
        }
        .navigationTitle(say.hoses)
        .onAppear { screen.touch(.look) }
        .onDisappear { screen.leave() }
    }
}

/// Every set.
struct SetsView: View {
    let desk: Desk
    @State private var screen: Screen

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .sets))
    }

    var body: some View {
        List {
            Blocked(screen: screen)
            ForEach(screen.shown.sets ?? [], id: \.name) { set in
                NavigationLink {
                    SetView(desk: desk, name: set.name)
                } label: {
                    if let worst = set.worst {
                        SignedRow(verdict: worst, name: set.name, words: set.words)
                    } else {
                        Entry(name: set.name, words: set.words)
                    }
                }
            }
        }
        .pinned { Ahead(words: say.newSet) { FormView(desk: desk, of: .newSet) } }
        .navigationTitle(say.sets)
        .onAppear { screen.touch(.look) }
        .onDisappear { screen.leave() }
    }
}

/// A set, port by port.
struct SetView: View {
    let desk: Desk
    @State private var screen: Screen

    init(desk: Desk, name: String) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .set(name: name)))
    }

    var body: some View {
        List {
            if let answer = screen.shown.set?.answer ?? screen.shown.setTag { SetAnswerView(answer: answer) }
            Blocked(screen: screen)
            if let shown = screen.shown.set {
                ForEach(shown.ports, id: \.port) { port in
                    if let hose = port.hose {
                        NavigationLink {
                            HoseView(desk: desk, text: hose.code)
                        } label: {
                            SignedRow(hose)
                        }
                    } else {
                        Text("\(port.port): \(port.holds)")
                    }
                }
                if let picture = screen.shown.picture { PictureView(picture: picture) }
                ForEach(shown.actions, id: \.words) { action in
                    if case .form(let of) = action.goes {
                        NavigationLink(action.words) { FormView(desk: desk, of: of) }.frame(minHeight: 48)
                    }
                }
            }
        }
        .pinned {
            if let next = screen.shown.set?.next, case .form(let of) = next.goes {
                Ahead(words: next.words) { FormView(desk: desk, of: of) }
            }
        }
        .navigationTitle(screen.shown.set?.title ?? say.sets)
        .onAppear { screen.touch(.look) }
        .onDisappear { screen.leave() }
    }
}

/// What a set's own tag answers: its status, and what is known against the set itself.
private struct SetAnswerView: View {
    let answer: SetAnswer

    var body: some View {
        HStack(spacing: 16) {
            SignView(verdict: answer.verdict).frame(width: 96, height: 96)
            VStack(alignment: .leading) {
                Text(answer.word.uppercased()).font(.system(size: 44, weight: .bold))
                Text(answer.words.isEmpty ? answer.meaning : answer.words)
                Text(answer.name).bold()
            }
        }
        .frame(maxWidth: .infinity, alignment: .leading)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel("\(answer.word). \(answer.meaning) \(answer.name), \(answer.words)")
        Text(answer.line)
        ForEach(answer.reasons, id: \.words) { reason in
            SignedRow(verdict: reason.verdict, words: reason.words, todo: reason.todo)
        }
        if !answer.onRecord { Text(answer.caution) }
    }
}

/// What is due.
struct DueView: View {
    let desk: Desk
    @State private var screen: Screen

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .due))
    }

    var body: some View {
        List {
            Blocked(screen: screen)
            if let list = screen.shown.due {
                Text(list.words).font(.title3.bold())
                ForEach(Array(list.rows.enumerated()), id: \.offset) { _, row in
                    NavigationLink {
                        HoseView(desk: desk, text: row.code)
                    } label: {
                        Entry(name: row.name, words: row.facts)
                    }
                }
                if let left = list.leftOut { Text(left) }
            }
        }
        .pinned {
            HStack(spacing: 8) {
                LargeButton(words: say.next90Days) { screen.touch(.within(time: nil)) }
                LargeButton(words: say.nextYear) { screen.touch(.within(time: "1y")) }
            }
        }
        .navigationTitle(say.due)
        .onAppear { screen.touch(.look) }
        .onDisappear { screen.leave() }
    }
}

/// Records that meet: the share sheet out, and a file in.
struct MeetingView: View {
    let desk: Desk
    @State private var screen: Screen
    @State private var picking = false
    /// A file that another app handed over and that is not taken in yet.
    @State private var incoming: URL?

    init(desk: Desk, incoming: URL? = nil) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .meeting))
        _incoming = State(initialValue: incoming)
    }

    var body: some View {
        List {
            // What comes in is stopped, or waited for.
            if screen.underWay {
                ForEach(screen.shown.question?.words ?? [], id: \.self) { Text($0) }
            } else {
                Blocked(screen: screen)
                if screen.asking > 0 { Text(say.asking) }
                ForEach(screen.shown.said, id: \.self) { Text($0) }
                ways
            }
        }
        .pinned {
            if screen.underWay {
                UnderWay(screen: screen)
            } else {
                LargeButton(words: say.shareRecord, main: true) {
                    screen.touch(.bundle(path: FileManager.default.temporaryDirectory.appendingPathComponent("phone.hwbundle").path))
                }
            }
        }
        .navigationTitle(say.shareAndReceive)
        .onAppear {
            screen.touch(.look)
            guard let file = incoming else { return }
            incoming = nil
            takeIn(file)
        }
        .onDisappear { screen.leave() }
        .fileImporter(isPresented: $picking, allowedContentTypes: [.data]) { picked in
            switch picked {
            case .success(let file): takeIn(file)
            case .failure: screen.hindered(.fileLost)
            }
        }
    }

    @ViewBuilder private var ways: some View {
        if case .share(let path) = screen.follows {
            ShareLink(item: URL(fileURLWithPath: path)).frame(minHeight: 56)
        }
        if let sharing = screen.shown.sharing {
            Closing(sharing: sharing)
            ForEach(sharing.others, id: \.self) { Text($0) }
        }
        LargeButton(words: say.receiveRecord) { picking = true }
        NavigationLink(say.network) { FormView(desk: desk, of: .counters(symbol: nil)) }.frame(minHeight: 48)
        if !screen.shown.bySight.isEmpty { bySight }
        if !screen.shown.setAside.isEmpty {
            ShareLink(items: screen.shown.setAside.map { URL(fileURLWithPath: $0) }) { Text(say.shareDamaged) }.frame(minHeight: 56)
        }
    }

    /// Two screens, without a network.
    @ViewBuilder private var bySight: some View {
        Text(say.bySight).font(.title3.bold()).accessibilityAddTraits(.isHeader)
        ForEach(screen.shown.bySight, id: \.self) { Text($0) }
        if let film = screen.shown.lacks {
            NavigationLink(say.showRest) { ShowView(desk: desk, film: film) }.frame(minHeight: 48)
        }
        NavigationLink(say.watchFilm) { WatchView(desk: desk) }.frame(minHeight: 48)
        NavigationLink(say.showHere) { ShowView(desk: desk, film: .holdings) }.frame(minHeight: 48)
        NavigationLink(say.showAll) { ShowView(desk: desk, film: .everything) }.frame(minHeight: 48)
    }

    /// The file may come over a network of the other app's, and is copied off the main thread.
    private func takeIn(_ file: URL) {
        desk.beside({ Received.copy(file) }) { copy in
            if let copy { screen.touch(.takeIn(path: copy.path)) } else { screen.hindered(.fileLost) }
        }
    }
}
