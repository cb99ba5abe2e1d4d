import HosewrightKit
import SwiftUI

/// A film on this screen, for the camera of another device. It begins by a touch, since it flickers.
struct ShowView: View {
    let desk: Desk
    @State private var screen: Screen
    @State private var projector: Projector

    init(desk: Desk, film: FilmOf) {
        self.desk = desk
        let screen = Screen(desk: desk, of: .show(film: film, calm: UIAccessibility.isReduceMotionEnabled))
        _screen = State(initialValue: screen)
        _projector = State(initialValue: Projector(screen))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                Blocked(screen: screen)
                if let film = screen.shown.film { shown(film) } else { Text(say.asking) }
            }
            .padding()
        }
        .pinned {
            if let film = screen.shown.film, !film.still {
                LargeButton(words: projector.running ? say.pauseFilm : say.startFilm, main: true) { go(film) }
            }
            if waits {
                Ahead(words: say.watchFilm) { WatchView(desk: desk) }
            }
        }
        .navigationTitle(say.filmShown)
        .onAppear { screen.touch(.look) }
        .onDisappear {
            pause()
            screen.leave()
        }
        .onChange(of: screen.shown.film) { before, film in
            if before != nil { projector.change() }
            // What stands still is shown at once.
            if let film, film.still { run(film) }
        }
    }

    /// While a film runs there is nothing but the film to look at.
    private var waits: Bool { !projector.running || screen.shown.film?.still == true }

    @ViewBuilder private func shown(_ film: FilmShown) -> some View {
        if projector.running {
            FilmFrameView(frame: projector.frame).onTapGesture { if !film.still { go(film) } }
        }
        if waits { Text(film.words) }
        if waits, let caution = film.caution {
            Text(caution).bold()
                .padding(12)
                .overlay(RoundedRectangle(cornerRadius: 8).stroke(.primary, lineWidth: 2))
        }
        Text(film.hold)
        if waits, !film.paces.isEmpty {
            Text(say.paceOfFilm).font(.title3.bold()).accessibilityAddTraits(.isHeader)
            ForEach(film.paces, id: \.pace) { pace in
                ChoiceMark(words: pace.words, chosen: pace.chosen, one: true) { screen.touch(.pace(pace: pace.pace)) }
            }
        }
    }

    private func go(_ film: FilmShown) {
        if projector.running { pause() } else { run(film) }
    }

    private func run(_ film: FilmShown) {
        projector.run(at: film.rate, still: film.still)
        // A screen that goes dark ends the film for whoever watches.
        UIApplication.shared.isIdleTimerDisabled = true
    }

    private func pause() {
        projector.pause()
        UIApplication.shared.isIdleTimerDisabled = false
    }
}

/// One symbol, as large as it finds room, with its quiet around it: dark on white, also at night.
private struct FilmFrameView: View {
    let frame: FilmFrame?
    @Environment(\.displayScale) private var scale

    /// Modules of quiet around a symbol (ISO/IEC 18004, 5.3.8).
    private static let quiet = 4

    var body: some View {
        Canvas { context, size in
            context.fill(Path(CGRect(x: 0, y: 0, width: size.width, height: size.height)), with: .color(.white))
            guard let frame else { return }
            let modules = CGFloat(frame.side + 2 * Self.quiet)
            // A whole number of the screen's own dots a module: none is wider than its neighbour.
            let module = max((min(size.width, size.height) * scale / modules).rounded(.down), 1) / scale
            let left = (size.width - modules * module) / 2
            var dark = Path()
            for y in 0..<frame.side {
                for x in 0..<frame.side where frame.isDark(x, y) {
                    let (across, down) = (CGFloat(x + Self.quiet) * module, CGFloat(y + Self.quiet) * module)
                    dark.addRect(CGRect(x: left + across, y: down, width: module, height: module))
                }
            }
            context.fill(dark, with: .color(.black))
        }
        .aspectRatio(1, contentMode: .fit)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel(say.filmShown)
    }
}

/// Another device's film before this phone's camera.
struct WatchView: View {
    let desk: Desk
    @State private var screen: Screen
    @Environment(\.dismiss) private var dismiss

    init(desk: Desk) {
        self.desk = desk
        _screen = State(initialValue: Screen(desk: desk, of: .watch))
    }

    var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: 12) {
                Blocked(screen: screen)
                ForEach(screen.shown.said, id: \.self) { Text($0).font(.title3.bold()) }
                if screen.asking > 0, !looks { Text(screen.progress ?? say.asking) }
                if let watching = screen.shown.watching, watching.looks { shown(watching) }
            }
            .padding()
        }
        .pinned { pinned }
        .navigationTitle(say.filmWatched)
        .onAppear { screen.touch(.look) }
        .onDisappear {
            // Left or killed, it goes on from here.
            screen.touch(.keepFilm)
            screen.leave()
            Camera.own.close(for: screen)
            UIApplication.shared.isIdleTimerDisabled = false
        }
        .onChange(of: looks) { _, looks in
            if !looks { Camera.own.close(for: screen) }
            // A screen that goes dark ends the film.
            UIApplication.shared.isIdleTimerDisabled = looks
        }
        .onChange(of: screen.film?.aloud) { _, aloud in
            if let aloud { announce(aloud) }
        }
        .onChange(of: screen.follows) { _, follows in
            guard let follows else { return }
            screen.follows = nil
            switch follows {
            case .camera: Camera.own.open(for: screen, watching: screen.eye)
            // The person looks at the other screen, and feels that it is done.
            case .ticked(let words, let well, _): Voice.own.tick(words, well: well, aloud: false)
            default: break
            }
        }
    }

    private var looks: Bool { screen.shown.watching?.looks == true }

    @ViewBuilder private func shown(_ watching: WatchingShown) -> some View {
        CameraView(screen: screen, tags: false)
        // Without a camera nothing is held before it.
        if let film = screen.film, screen.shown.trouble == nil {
            Text(film.said).font(.title3.bold())
            if film.needed > 0 {
                ProgressView(value: Double(film.had), total: Double(film.needed)).accessibilityHidden(true)
            }
        }
        Text(watching.lead)
        ForEach(watching.halves, id: \.self) { Text($0) }
        if !watching.halves.isEmpty { LargeButton(words: say.forgetFilms) { screen.touch(.forgetFilms) } }
    }

    @ViewBuilder private var pinned: some View {
        if looks {
            LargeButton(words: say.stopFilm, main: true) { dismiss() }
        } else if screen.shown.watching != nil, screen.shown.question == nil {
            if let film = screen.shown.lacks { Ahead(words: say.showRest) { ShowView(desk: desk, film: film) } }
            LargeButton(words: say.watchFilm) { screen.touch(.watchOn) }
        }
    }
}
