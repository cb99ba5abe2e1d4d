import Foundation
import HosewrightKit
import Testing

/// Photos of what was found, what nobody else has yet, what is due, and tags to print.
@MainActor
struct KeptTests {
    /// A picture in a file of the app's own, as a camera leaves it there.
    private func picture(_ shop: Shop, _ hose: String, _ name: String) throws -> String {
        try shop.done("tag \(hose) --out \(name)")
        return shop.path(name).path
    }

    private func photo(_ path: String?) -> Touch { .photograph(field: "photo-run", path: path) }

    @Test func aPhotoThatWasTakenGoesIntoTheRecordWithWhatWasFound() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let taken = try picture(shop, code, "taken.png")
        let of = FormOf.hose(hose: code, form: "quick-look")
        let form = try await Phone(shop).form(of, .choose("finding", "run:cut:cover"), photo(taken))
        let kept = try #require(form.shown.field("photo-run")?.value)
        #expect(FileManager.default.contents(atPath: kept)?.starts(with: [0xFF, 0xD8]) == true)
        #expect(!FileManager.default.fileExists(atPath: taken))
        // The phone was killed.
        let phone = try await Phone(shop)
        let again = await phone.form(of)
        #expect(again.shown.field("photo-run")?.value == kept)
        await phone.go(again, .save)
        #expect(again.shown.done != nil)
        let photographs = try await phone.hose(code).photographs
        #expect(photographs.map { $0.jpeg.starts(with: [0xFF, 0xD8]) } == [true])
    }

    @Test func aPhotoIsLeftOutAndWhatIsNoneIsSaidAtItsField() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let taken = try picture(shop, code, "taken.png")
        let form = await phone.form(
            .hose(hose: code, form: "quick-look"), .choose("finding", "run:scuff"), photo(taken), photo(nil))
        #expect(form.shown.field("photo-run")?.value == "")
        let note = shop.path("note.txt")
        try Data("no picture".utf8).write(to: note)
        await phone.go(form, photo(note.path))
        #expect(form.shown.trouble?.field == "photo-run")
        await phone.go(form, .dismiss, .save)
        #expect(try await phone.hose(code).photographs.isEmpty)
    }

    @Test func whatNobodyElseHasYetIsSaid() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        #expect(await phone.page(.scan(wanted: .answer)).shown.sharing == nil)
        _ = await phone.form(.hose(hose: code, form: "clean"), .save)
        let closing = await phone.page(.scan(wanted: .answer)).shown.sharing
        #expect(closing?.alone == 1 && closing?.warn == false)
        #expect(closing?.words.first?.hasPrefix("1 entry is on this device alone") == true)
        let meeting = await phone.page(.meeting).shown.sharing
        #expect(meeting?.others.count == 1 && meeting?.words == closing?.words)
    }

    @Test func remindersAreOffUntilTheyAreSwitchedOn() async throws {
        let shop = try Shop()
        try shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        _ = try shop.fitted("Heron", "LP1")
        let phone = try await Phone(shop)
        let before = await phone.page(.scan(wanted: .answer)).shown.reminding
        #expect(before != nil && before?.next == nil)
        let form = await phone.form(.settings, .tick("reminds"))
        #expect(form.follows == .askToRemind)
        form.hindered(.remindersRefused)
        await phone.settle(form)
        #expect(form.shown.field("reminds")?.value == "" && form.shown.trouble?.obstacle == .remindersRefused)
        await phone.go(form, .tick("reminds"), .save)
        #expect(form.shown.done != nil)
        let next = await phone.page(.scan(wanted: .answer)).shown.reminding?.next
        #expect(next.map { $0.on > today && !$0.words.isEmpty } == true)
    }

    @Test func tagsAreMadeToPrintAndASetGetsANewOne() async throws {
        let shop = try Shop()
        try shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        _ = try shop.fitted("Heron", "LP1")
        let phone = try await Phone(shop)
        let made = await phone.form(.tags(set: "Heron"), .save).shown.done
        #expect(made?.made?.bytes.starts(with: Data("%PDF-".utf8)) == true)
        #expect(made?.words.hasPrefix("2 tags, 1 page") == true)
        let small = await phone.form(.tags(set: nil), .write("size", "1 mm"), .save)
        #expect(small.shown.trouble?.field == "size")
        let before = await phone.page(.set(name: "Heron")).shown.set?.answer.code
        let form = await phone.form(.set(set: "Heron", form: "new-tag"), .save)
        #expect(form.shown.question != nil)
        await phone.go(form, .yes(text: ""))
        let after = try #require(await phone.page(.set(name: "Heron")).shown.set?.answer.code)
        #expect(after != before && form.shown.done?.words.contains(after) == true)
    }

    @Test func aSwapAsksOneStepAtATime() async throws {
        let shop = try Shop()
        try shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        let old = try shop.fitted("Heron", "LP1")
        let new = try shop.hose()
        try shop.done("inspect \(new) --kind full")
        let phone = try await Phone(shop)
        let form = await phone.form(.swap(old: old, new: new))
        #expect(form.shown.form?.lines.isEmpty == true && form.shown.form?.lead.first?.hasPrefix("Step 1 of ") == true)
        await phone.go(form, .save(typed: [], answer: form.shown.form?.answers.first?.value))
        #expect(form.shown.form?.lines.isEmpty == true)
        #expect(form.shown.form?.lead.dropFirst().first?.hasPrefix("1 step is done.") == true)
    }
}
