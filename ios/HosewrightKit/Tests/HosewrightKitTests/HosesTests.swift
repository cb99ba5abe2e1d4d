import Foundation
import HosewrightKit
import Testing

/// Hoses found and placed, entries withdrawn, and what is set on the phone.
@MainActor
struct HosesTests {
    @Test func hosesAreFoundByWhatIsKnownOfThemAndListedByVerdict() async throws {
        let shop = try Shop()
        let (one, two) = (try shop.hose(), try shop.hose())
        let phone = try await Phone(shop)
        let retire = await phone.form(.hose(hose: two, form: "retire"), .write("why", "cut in half"), .save)
        await phone.go(retire, .yes(text: ""))
        let screen = await phone.page(.hoses)
        #expect(screen.shown.hoses?.verdicts.map(\.words) == ["all 2", "ready 0", "watch 0", "hold 1", "retire 1"])
        #expect(screen.shown.hoses.map { Set($0.hoses.map(\.code)) } == [one, two])
        #expect(screen.shown.hoses?.more == false)
        await phone.go(screen, .ofVerdict(verdict: .retire))
        #expect(screen.shown.hoses?.hoses.map(\.code) == [two])
        await phone.go(screen, .find(text: one))
        #expect(screen.shown.hoses?.hoses.first?.code == one)
        #expect(screen.shown.hoses?.verdicts.contains(where: \.chosen) == false)
        await phone.go(screen, .find(text: "there is no such hose"), .more(shown: 30))
        #expect(screen.shown.hoses?.hoses.isEmpty == true)
    }

    @Test func aHoseIsFittedHeldReleasedAndRemoved() async throws {
        let shop = try Shop()
        try shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let place = FormOf.hose(hose: code, form: "place")
        #expect(try await phone.scan(code).actions.contains { $0.goes == .form(of: place) })
        let form = await phone.form(place)
        let set = try #require(form.shown.field("set")?.choices.first?.value)
        await phone.go(form, .choose("set", set))
        await phone.go(form, .choose("port", "LP2"))
        await phone.go(form, .save(typed: [], answer: form.shown.form?.answers.first?.value))
        #expect(form.shown.done?.answer?.place.contains("LP2") == true)
        let hold = await phone.form(.hose(hose: code, form: "hold"), .save)
        #expect(hold.shown.trouble?.field == "why")
        await phone.go(hold, .write("why", "a loose nut"), .save)
        #expect(hold.shown.done != nil)
        let release = await phone.form(.hose(hose: code, form: "release"))
        #expect(release.shown.form?.lead.first?.contains("a loose nut") == true)
        await phone.go(release, .write("why", "tightened"), .save)
        #expect(release.shown.done != nil)
        let dives = await phone.form(.hose(hose: code, form: "dives"), .write("dives", "3"), .save)
        #expect(dives.shown.done?.answer?.dives.contains("3") == true)
        let back = await phone.form(place)
        await phone.go(back, .save(typed: [], answer: back.shown.form?.answers.last?.value))
        #expect(back.shown.done?.answer?.place == "in stock")
    }

    @Test func anEntryIsWithdrawnAndBothStay() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        _ = await phone.form(.hose(hose: code, form: "clean"), .save)
        let line = try #require(try await phone.hose(code).history.first)
        guard case .form(let of)? = line.withdraw?.goes else { throw Shop.Said(words: "no way to withdraw it") }
        let form = await phone.form(of, .save)
        #expect(form.shown.form?.lead.contains { $0.contains(line.words) } == true)
        #expect(form.shown.trouble?.field == "why")
        await phone.go(form, .write("why", "another hose"), .save)
        #expect(form.shown.done != nil)
        let after = try await phone.hose(code).history.first { $0.words.contains(line.words) }
        #expect(after?.withdraw == nil && after?.words.contains("another hose") == true)
    }

    @Test func theNameAndTheVoiceAreSetAndHelpNeedsNoRecord() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop, named: nil)
        #expect(try await phone.hose(code).aloud)
        let form = await phone.form(.settings, .write("name", "Mo"), .tick(field: "aloud", yes: false), .save)
        #expect(form.shown.done != nil && form.shown.question == nil)
        #expect(try await !phone.hose(code).aloud)
        _ = await phone.form(.hose(hose: code, form: "clean"), .save)
        #expect(try await phone.hose(code).history.first?.by == "Mo")
        let help = await phone.form(.help).shown.form
        #expect(help.map { $0.groups.flatMap(\.notes).count > 30 && $0.submit.isEmpty } == true)
    }

    @Test func aHintIsShownUntilThereIsNone() async throws {
        let phone = try await Phone(try Shop())
        let screen = await phone.page(.scan(wanted: .answer))
        screen.hinted("nearer")
        #expect(screen.hint == "nearer")
        screen.hinted(nil)
        #expect(screen.hint == nil)
        screen.hinted("nearer")
        screen.leave()
        screen.hinted("darker")
        #expect(screen.hint == nil)
    }

    @Test func anEmptyFrameHasNoHint() {
        let reader = FrameReader()
        let plane = UnsafeMutableRawPointer.allocate(byteCount: 64 * 64, alignment: 1)
        defer { plane.deallocate() }
        plane.initializeMemory(as: UInt8.self, repeating: 200, count: 64 * 64)
        #expect(reader.hint == nil, "nothing is read yet")
        #expect(reader.read(plane: plane, width: 64, height: 64, stride: 64).isEmpty)
        #expect(reader.hint == nil)
    }

    @Test func aSetIsMadeHeldAndFoundByItsTagAndWhatIsInStockFitsIt() async throws {
        let shop = try Shop()
        let phone = try await Phone(shop)
        let made = await phone.form(.newSet, .write("name", "Heron"), .choose("use", "personal"), .save)
        #expect(made.shown.done != nil)
        _ = await phone.form(.set(set: "Heron", form: "hold"), .write("why", "free flow"), .save)
        let held = try #require(await phone.page(.set(name: "Heron")).shown.set)
        #expect(held.answer.verdict == .hold)
        let scan = await phone.page(.scan(wanted: .answer), .typed(text: held.answer.code))
        guard case .set(let name) = scan.follows else {
            Issue.record("it leads to the set: \(String(describing: scan.follows))")
            return
        }
        #expect(await phone.page(.set(name: name)).shown.set?.title == held.title)
        _ = await phone.form(.set(set: "Heron", form: "release"), .write("why", "serviced"), .save)
        let old = try shop.fitted("Heron", "LP1")
        let spare = try shop.hose()
        try shop.done("inspect \(spare) --kind full")
        #expect(await phone.page(.stock(old: old)).shown.stock?.hoses.map(\.code) == [spare])
    }
}
