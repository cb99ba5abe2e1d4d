import Foundation
import HosewrightKit
import Testing

/// One phone's screen before another's camera.
@MainActor
struct FilmTests {
    /// What a camera sees of a frame: so many pixels a module, with the quiet around it.
    private func looked(at frame: FilmFrame, by eye: FilmEye) -> FilmSeen? {
        let (pixels, quiet) = (4, 4)
        let side = (frame.side + 2 * quiet) * pixels
        var grey = [UInt8](repeating: 235, count: side * side)
        for at in grey.indices {
            let (x, y) = (at % side / pixels - quiet, at / side / pixels - quiet)
            let inside = 0..<frame.side
            if inside.contains(x), inside.contains(y), frame.isDark(x, y) { grey[at] = 20 }
        }
        return grey.withUnsafeMutableBytes { eye.see(plane: $0.baseAddress!, width: side, height: side, stride: side) }
    }

    private func next(_ projector: Projector) async -> FilmFrame {
        while !projector.step() { await Task.yield() }
        return projector.frame!
    }

    /// Shows frames to a camera, every third of them lost, until it is enough.
    private func show(_ film: Projector, to phone: Phone, _ screen: Screen, enough: (FilmSeen) -> Bool) async throws {
        for at in 0..<2_000 {
            let frame = await next(film)
            if at % 3 == 2 { continue }
            let seen = try #require(looked(at: frame, by: screen.eye))
            screen.watched(seen)
            if enough(seen) { return await phone.settle(screen) }
        }
        Issue.record("the film is not enough")
    }

    private func whole(_ seen: FilmSeen) -> Bool { seen.touch == .filmSeen }

    @Test func twoPhonesHaveTheSameOnceEachHasWatchedTheOther() async throws {
        let (one, two) = (try Shop(), try Shop())
        let (code, other) = (try one.hose(), try two.hose())
        let (first, second) = (try await Phone(one), try await Phone(two))
        // The second shows what it has, which needs no question.
        let held = await second.page(.show(film: .holdings, calm: false))
        #expect(held.shown.film?.still == true && held.shown.film?.caution == nil)
        let watch = await first.page(.watch)
        #expect(watch.follows == .camera)
        try await show(Projector(held), to: first, watch, enough: whole)
        #expect(watch.shown.question == nil && watch.shown.watching?.looks == false)
        // The first shows the rest.
        let rest = await first.page(.show(film: try #require(watch.shown.lacks), calm: false))
        let watched = await second.page(.watch)
        try await show(Projector(rest), to: second, watched, enough: whole)
        #expect(watched.shown.question?.words.first?.contains("1 entry") == true)
        await second.go(watched, .yes(text: ""))
        #expect(watched.shown.said.first?.hasPrefix("1 entry new") == true)
        #expect(try await second.scan(code).code == code)
        // And back, with the same camera.
        let back = await second.page(.show(film: try #require(watched.shown.lacks), calm: false))
        await first.go(watch, .watchOn)
        #expect(watch.shown.watching?.looks == true && watch.film?.had == 0)
        try await show(Projector(back), to: first, watch, enough: whole)
        await first.go(watch, .yes(text: ""))
        #expect(try await first.scan(other).code == other)
    }

    @Test func halfAFilmIsGoneOnWith() async throws {
        let (one, two) = (try Shop(), try Shop())
        for _ in 0..<12 { _ = try one.hose() }
        let first = try await Phone(one)
        let film = await first.page(.show(film: .everything, calm: false))
        #expect(film.shown.film?.caution?.contains("flickers") == true)
        let projector = Projector(film)
        let phone = try await Phone(two)
        let watch = await phone.page(.watch)
        try await show(projector, to: phone, watch) { $0.had == 2 }
        #expect(watch.film?.had == 2)
        // It is told no more, and kept all the same.
        watch.leave()
        await phone.go(watch, .keepFilm)
        let again = await (try Phone(two)).page(.watch)
        #expect(again.shown.watching?.halves.first?.contains("2 of") == true)
        // Other frames, of the same film.
        await first.go(film, .pace(pace: "calm"))
        projector.change()
        #expect(film.shown.film.map { $0.rate <= 2 } == true)
        try await show(projector, to: phone, again, enough: whole)
        await phone.go(again, .yes(text: ""))
        #expect(again.shown.watching?.halves.isEmpty == true)
        #expect(await phone.page(.hoses).shown.hoses?.hoses.count == 12)
    }

    @Test func aFilmRunsAndPauses() async throws {
        let shop = try Shop()
        for _ in 0..<12 { _ = try shop.hose() }
        let phone = try await Phone(shop)
        let film = await phone.page(.show(film: .everything, calm: false))
        let projector = Projector(film)
        projector.run(at: 1_000, still: false)
        var seen: Set<Data> = []
        while seen.count < 5 {
            if let frame = projector.frame { seen.insert(Data((0..<frame.side).map { frame.isDark($0, 20) ? 1 : 0 })) }
            await Task.yield()
        }
        projector.pause()
        #expect(!projector.running)
        // Shown otherwise, it has no frame of before.
        let side = try #require(projector.frame?.side)
        await phone.go(film, .pace(pace: "far"))
        projector.change()
        #expect(await next(projector).side < side)
    }
}
