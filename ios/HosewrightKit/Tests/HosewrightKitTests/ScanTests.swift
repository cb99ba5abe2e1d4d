import Foundation
import HosewrightKit
import Testing

@MainActor
struct ScanTests {
    private func tag(_ code: String) -> String { "HW1:\(code.replacingOccurrences(of: "-", with: ""))." }

    private func seen(_ phone: Phone, _ screen: Screen, _ texts: String...) async {
        screen.frame(texts)
        await phone.settle(screen)
    }

    @Test func aTagIsAnsweredOnceAsLongAsItIsInSight() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let screen = await phone.page(.scan(wanted: .answer))
        await seen(phone, screen, tag(code))
        #expect(screen.follows == .hose(text: code, said: "", aloud: true))
        screen.follows = nil
        await phone.go(screen, .look)
        await seen(phone, screen, tag(code))
        #expect(screen.follows == nil)
        for _ in 0..<15 { screen.frame([]) }
        await seen(phone, screen, tag(code))
        #expect(screen.follows != nil)
    }

    @Test func aScanForASwapPassesOverWhatIsNoHose() async throws {
        let shop = try Shop()
        let (one, two) = (try shop.hose(), try shop.hose())
        let phone = try await Phone(shop)
        let screen = await phone.page(.scan(wanted: .hose))
        await seen(phone, screen, "https://example.org")
        #expect(screen.follows == nil && screen.shown.trouble?.words.contains("not a Hosewright tag") == true)
        await seen(phone, screen, tag(one), tag(two))
        #expect(screen.follows == nil)
        #expect(screen.shown.trouble.map { Set($0.near.map(\.code)) } == [one, two])
        await phone.go(screen, .typed(text: two))
        #expect(screen.follows == .found(text: two))
        await seen(phone, screen, tag(one))
        #expect(screen.follows == .found(text: two))
    }

    @Test func whateverIsWrittenThereGoesToThePageThatAskedForIt() async throws {
        let shop = try Shop()
        let phone = try await Phone(shop)
        let screen = await phone.page(.scan(wanted: .text))
        await seen(phone, screen, "one", "another")
        #expect(screen.follows == nil && screen.shown.trouble != nil)
        await seen(phone, screen, "4006381333931")
        #expect(screen.follows == .found(text: "4006381333931"))
    }

    @Test func aSlipNamesTheHosesThatComeNear() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let slip = (code.hasPrefix("0") ? "1" : "0") + code.dropFirst()
        let screen = await phone.page(.scan(wanted: .answer), .typed(text: slip))
        #expect(screen.shown.trouble?.near.map(\.code) == [code])
        await phone.go(screen, .typed(text: code))
        #expect(screen.shown.trouble == nil)
    }

    @Test func tryAgainBeginsWhatWasLost() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let screen = await phone.page(.scan(wanted: .answer), .typed(text: code))
        screen.follows = nil
        await phone.go(screen, .look)
        for (obstacle, next) in [(Obstacle.chipLost, Follows.chip), (.cameraBusy, .camera)] {
            screen.hindered(obstacle)
            await phone.go(screen, .tryAgain)
            #expect(screen.follows == next)
            #expect(screen.shown.trouble == nil)
        }
    }

    @Test func aTagWithoutARecordHereIsNeverReady() async throws {
        let (other, shop) = (try Shop(), try Shop())
        let code = try other.hose()
        let phone = try await Phone(shop)
        let screen = await phone.page(.scan(wanted: .answer))
        await seen(phone, screen, tag(code))
        guard case .hose(let text, _, _) = screen.follows else { throw Shop.Said(words: "no answer") }
        let answer = try await phone.hose(text).answer
        #expect(answer.verdict == .hold && !answer.onRecord)
        #expect(answer.meaning == "Not known here: ask before you dive it.")
    }

    @Test func anAnswerHasWhatItsPageShows() async throws {
        let shop = try Shop()
        try shop.done("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=4")
        let code = try shop.fitted("Heron", "LP1")
        try shop.done("inspect \(code) --kind quick --finding run:cut:cover")
        let phone = try await Phone(shop)
        let answer = try await phone.scan(code.lowercased().replacingOccurrences(of: "-", with: " "))
        #expect(answer.verdict == .watch && answer.code == code)
        #expect(answer.reasons.map(\.words).joined().contains("a cut in the cover"))
        #expect(answer.actions.map(\.goes).contains(.set(name: "Heron")))
        #expect(answer.spoken.hasPrefix("WATCH. "))
        for line in [answer.age, answer.dives, answer.place, answer.record, answer.hose, answer.caution] { #expect(!line.isEmpty) }
    }

    @Test func aFrameWithATagIsRead() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        try shop.done("tag \(code) --out tag.svg")
        let frame = try Drawn(svg: String(contentsOf: shop.path("tag.svg"), encoding: .utf8))
        let reader = FrameReader()
        var luma = frame.luma
        let texts = luma.withUnsafeMutableBytes { bytes in
            reader.read(plane: bytes.baseAddress!, width: frame.width, height: frame.height, stride: frame.width)
        }
        #expect(texts.first?.text.hasPrefix("HW1:\(code.replacingOccurrences(of: "-", with: ""))") == true)
        reader.endFilm()
    }
}
