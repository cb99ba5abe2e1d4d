import Foundation
import HosewrightKit
import Testing

/// What a crew does with hoses and sets, against the real library.
@MainActor
struct FlowTests {
    private func heron(_ shop: Shop, _ use: String) throws {
        try shop.done("set new Heron --use \(use) --ports HP:7/16-20=1,LP:3/8-24=4")
    }

    @Test func anEmptyPhoneGreetsAndRegistersItsFirstHose() async throws {
        let shop = try Shop()
        let phone = try await Phone(shop)
        let greeting = await phone.page(.scan(wanted: .answer)).shown.welcome
        #expect(greeting?.ways.map(\.way) == [.register, .bringIn])
        let form = await phone.form(.register(tag: nil), .choose("service", "second-stage"))
        #expect(form.shown.chosen("end_a") == ["usual"])
        await phone.go(form, .save)
        #expect(form.shown.trouble?.field == "construction")
        await phone.go(form, .choose("construction", "braided"), .write("length", "22"))
        #expect(form.shown.field("length")?.wrong?.contains("no unit") == true)
        await phone.go(form, .write("length", "22 in"), .save)
        let code = try #require(form.shown.done?.answer?.code)
        #expect(form.follows == .hose(text: code, said: form.shown.done!.words, aloud: false))
        #expect(await phone.page(.scan(wanted: .answer)).shown.welcome == nil)
        #expect(try shop.run(["answer", code]).out.contains("22 in"))
    }

    @Test func aTagThatIsInUseIsRefusedAtItsField() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let form = await phone.form(.register(tag: "HW1:\(code.replacingOccurrences(of: "-", with: ""))."))
        #expect(form.shown.trouble?.field == "tag")
    }

    @Test func aFullInspectionOutlivesThePhone() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let of = FormOf.hose(hose: code, form: "full-inspection")
        _ = try await Phone(shop).form(of, .choose("finding", "run:scuff"), .tick("clear-end-a"))
        let phone = try await Phone(shop)
        let form = await phone.form(of)
        #expect(form.shown.chosen("finding") == ["run:scuff"])
        #expect(form.shown.field("clear-end-a")?.value == "yes")
        await phone.go(form, .save)
        #expect(form.shown.trouble?.field == "clear-end-b")
        // It goes to the place that is open.
        #expect(form.shown.form?.place?.words == "Place 3 of 5")
        // Six touches after the form opens, at most: one a place, and the saving.
        await phone.go(form, .tick("clear-end-b"), .tick("clear-seal-a"), .tick("clear-seal-b"), .save)
        #expect(form.shown.done?.answer?.verdict == .watch)
        #expect(await phone.form(of).shown.fields.allSatisfy(\.value.isEmpty))
    }

    @Test func aFullInspectionAsksForOnePlaceAfterAnother() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let form = await phone.form(.hose(hose: code, form: "full-inspection"))
        var touches = 0
        while let place = form.shown.form?.place, touches < 10 {
            #expect(place.buttons.prefix(2).map(\.answer) == [.nothing, .something])
            // Touched twice in one turn, it answers one place.
            let touch = Touch.place(place: place.place, answer: .nothing)
            await phone.go(form, touch, touch)
            touches += 1
        }
        #expect(form.shown.form?.named?.contains(code) == true)
        await phone.go(form, .save)
        #expect(form.shown.done?.answer?.inspections.contains { $0.contains("nothing found") } == true)
        #expect(touches + 1 <= 6)
    }

    @Test func hosesTickOffBeforeACameraThatStaysOpen() async throws {
        let shop = try Shop()
        try heron(shop, "rental")
        let hoses = try ["LP1", "LP2", "LP3"].map { try shop.fitted("Heron", $0) }
        let phone = try await Phone(shop)
        let of = FormOf.handOut(set: "Heron")
        let form = await phone.form(of)
        #expect(form.follows == .ticks(of: of))
        form.follows = nil
        let camera = await phone.page(.ticks(of: of))
        for (at, hose) in hoses.enumerated() {
            let tag = ["HW1:\(hose.replacingOccurrences(of: "-", with: ""))."]
            camera.frame(tag)
            camera.frame(tag)
            await phone.settle(camera)
            guard case .ticked(let words, true, let all) = camera.follows else {
                Issue.record("it does not buzz: \(String(describing: camera.follows))")
                return
            }
            #expect(all == (at == 2) && words.contains("is here"))
            camera.follows = nil
        }
        await phone.go(form, .look)
        #expect(form.follows == nil && form.shown.form?.submit == "Hand out")
    }

    @Test func aFailedLeakTestStaysFailed() async throws {
        let shop = try Shop()
        try heron(shop, "personal")
        let code = try shop.fitted("Heron", "LP1")
        let phone = try await Phone(shop)
        let form = await phone.form(
            .hose(hose: code, form: "leak-test"), .choose("result", "passed"), .choose("result", "failed"),
            .write("note", "bubbles"), .save)
        #expect(form.shown.trouble == nil)
        #expect(form.shown.done?.answer?.verdict == .hold)
    }

    @Test func aHoseIsCleanedHeldAndRetiredAsItsAnswerProposes() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        try shop.done("inspect \(code) --kind full --finding end-a:salt")
        let phone = try await Phone(shop)
        #expect(await phone.form(.hose(hose: code, form: "clean"), .save).shown.done != nil)
        let held = await phone.form(.hose(hose: code, form: "hold"), .write("why", "odd smell"), .save)
        #expect(held.shown.done?.answer?.verdict == .hold)
        let retire = await phone.form(.hose(hose: code, form: "retire"), .save)
        #expect(retire.shown.trouble?.field == "why")
        await phone.go(retire, .write("why", "cut in half"), .save)
        // For good: it is named once more before it is done.
        #expect(retire.shown.done == nil && retire.shown.question?.words.last?.contains(code) == true)
        await phone.go(retire, .yes(text: ""))
        #expect(retire.shown.done?.answer?.verdict == .retire)
    }

    @Test func aSwapIsTakenUpAtEachStep() async throws {
        let shop = try Shop()
        try heron(shop, "personal")
        let old = try shop.fitted("Heron", "LP1")
        let new = try shop.hose()
        try shop.done("inspect \(new) --kind full")
        var (steps, done) = (0, false)
        while !done, steps < 40 {
            // Each step on a phone started again: nothing is kept but what is on record.
            let phone = try await Phone(shop)
            let form = await phone.form(.swap(old: old, new: new))
            let shown = try #require(form.shown.form)
            if let field = form.shown.fields.first(where: { $0.kind == .scanToAnswer }) {
                // Whatever else is before the camera does not go on.
                await phone.go(form, .scanned(field: field.name, text: "https://example.org"))
                #expect(form.shown.trouble != nil)
                await phone.go(form, .scanned(field: field.name, text: field.value.hasPrefix("old") ? old : new))
            } else {
                if form.shown.field("result") != nil { await phone.go(form, .choose("result", "passed"), .write("pressure", "200 bar")) }
                let goes = form.shown.field("why") != nil
                if goes { await phone.go(form, .write("why", "worn")) }
                let answer = goes ? shown.answers.last : shown.answers.first
                // A second touch on the same button answers no other step.
                await phone.go(form, .save(typed: [], answer: answer?.value), .save(typed: [], answer: answer?.value))
            }
            (steps, done) = (steps + 1, form.shown.done != nil)
        }
        #expect(done && steps > 12)
        let phone = try await Phone(shop)
        #expect(try await phone.scan(old).verdict == .retire)
        #expect(try await phone.scan(new).verdict == .ready)
    }

    @Test func aSetIsHandedOutAndTakenBack() async throws {
        let shop = try Shop()
        try heron(shop, "rental")
        let hoses = try ["LP1", "LP2", "LP3"].map { try shop.fitted("Heron", $0) }
        let phone = try await Phone(shop)
        // As many scans as hoses, and two touches: the ticket and the button.
        let out = await phone.form(.handOut(set: "Heron"))
        #expect(out.shown.form?.submit == "")
        for hose in hoses { await phone.go(out, .scanned(field: "scanned", text: hose)) }
        await phone.go(out, .save(typed: [Written(field: "ticket", text: "4711")], answer: nil))
        #expect(out.shown.done?.words.contains("ticket 4711, with 3 hoses") == true)

        let back = await phone.form(.takeBack(set: "Heron"))
        for hose in hoses { await phone.go(back, .scanned(field: "scanned", text: hose)) }
        // Two findings of one hose in one turn: neither takes the other back.
        let found = "\(hoses[0])|finding"
        await phone.go(back, .choose(found, "run:bulge"), .choose(found, "run:scuff"))
        #expect(back.shown.chosen(found).sorted() == ["run:bulge", "run:scuff"])
        await phone.go(back, .save)
        #expect(back.shown.done == nil, "nobody said how many dives")
        await phone.go(back, .write("dives", "4"), .save)
        #expect(back.shown.done == nil, "nobody looked at the others")
        #expect(back.shown.trouble?.words.contains("othing is said of how") == true)
        await phone.go(back, .save(typed: [], answer: back.shown.form?.answers.first?.value))
        #expect(back.shown.done?.words.contains("4 dives each") == true)
        #expect(try await phone.scan(hoses[0]).verdict == .retire)
    }

    @Test func setsAndWhatIsDueAreThere() async throws {
        let shop = try Shop()
        try heron(shop, "personal")
        let code = try shop.fitted("Heron", "LP1")
        let phone = try await Phone(shop)
        #expect(await phone.page(.sets).shown.sets?.map(\.name) == ["Heron"])
        let set = await phone.page(.set(name: "Heron")).shown
        #expect(set.set?.ports.contains { $0.hose?.code == code } == true)
        #expect(set.picture?.marks.isEmpty == false)
        let due = await phone.page(.due, .within(time: "9y")).shown.due
        #expect(due?.rows.contains { $0.code == code } == true)
        #expect(await phone.page(.due, .within(time: "soon")).shown.trouble?.words.contains("soon") == true)
    }

    @Test func aTagIsDrawn() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let tag = await phone.page(.hose(text: code), .drawTag(format: .png, size: "20mm", dpi: 300)).shown.tag
        #expect(tag?.bytes.starts(with: [0x89, 0x50, 0x4E, 0x47]) == true)
        #expect(await phone.page(.hose(text: code), .drawTag(format: .png, size: "3mm", dpi: 300)).shown.trouble != nil)
    }

    @Test func aChipIsOverwrittenOnlyAfterAYes() async throws {
        let shop = try Shop()
        let (code, other) = (try shop.hose(), try shop.hose())
        let phone = try await Phone(shop)
        let screen = await phone.page(.chip(code: code))
        let written = try #require(await screen.near(room: 492, held: Data()))
        await phone.go(screen, .chipWritten)
        #expect(!screen.shown.awaitsChip)
        #expect(chipContent(message: written).words.contains(code))
        let again = await phone.page(.chip(code: other))
        #expect(await again.near(room: 492, held: written) == nil)
        #expect(again.shown.question?.words.first?.contains(code) == true)
        await phone.go(again, .yes(text: ""))
        #expect(again.follows == .chip)
        let website = Data([0xD1, 1, 12, 0x55, 4] + Array("example.org".utf8))
        #expect(await again.near(room: 492, held: website) == nil, "the yes was for another chip")
        #expect(await again.near(room: 20, held: Data()) == nil)
        #expect(again.shown.trouble?.words.contains("room for 20") == true)
        #expect(await again.near(room: 492, held: written) != nil)
    }

    @Test func aBundleIsAskedAboutFirst() async throws {
        let (counter, shop) = (try Shop(), try Shop())
        let code = try counter.hose()
        try counter.done("bundle --out counter.hwbundle")
        let phone = try await Phone(shop)
        let copy = try #require(Received.copy(counter.path("counter.hwbundle")))
        let screen = await phone.page(.meeting, .takeIn(path: copy.path))
        #expect(screen.shown.question?.words.first?.contains("1 entry") == true)
        await #expect(throws: (any Error).self) { try await phone.scan(code) }
        await phone.go(screen, .yes(text: ""))
        #expect(screen.shown.said.first?.hasPrefix("1 entry new") == true)
        #expect(try await phone.scan(code).code == code)
        #expect(!FileManager.default.fileExists(atPath: copy.path))
        await phone.go(screen, .bundle(path: shop.path("phone.hwbundle").path))
        #expect(screen.follows == .share(path: shop.path("phone.hwbundle").path))
        try counter.done("merge \(shop.path("phone.hwbundle").path)")
    }

    @Test func onlyWhatTheSystemCopiedForThisAppGoes() throws {
        let shop = try Shop()
        func file(in folder: String) throws -> URL {
            let folder = shop.path(folder).appendingPathComponent("Inbox", isDirectory: true)
            try FileManager.default.createDirectory(at: folder, withIntermediateDirectories: true)
            let file = folder.appendingPathComponent("phone.hwbundle")
            try Data("x".utf8).write(to: file)
            return file
        }
        let (own, other) = (try file(in: "Documents"), try file(in: "Mail"))
        for file in [own, other] { #expect(Received.copy(file, inbox: shop.path("Documents").appendingPathComponent("Inbox")) != nil) }
        #expect(!FileManager.default.fileExists(atPath: own.path))
        #expect(FileManager.default.fileExists(atPath: other.path), "the person's own")
        #expect(Received.copy(shop.path("gone.hwbundle")) == nil)
    }

    @Test func aDamagedRecordIsSaidSavedAndSetAside() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        // The head of SQLite's file, without which nothing opens it.
        let store = shop.path("record.hosewright")
        var bytes = try Data(contentsOf: store)
        bytes.replaceSubrange(0..<100, with: Data(repeating: 0x5A, count: 100))
        try bytes.write(to: store)
        let phone = try await Phone(shop, named: nil)
        let first = await phone.page(.scan(wanted: .answer)).shown.trouble
        #expect(first?.obstacle == .storeDamaged)
        #expect(first?.waysOn.map(\.way) == [.tryAgain, .shareCopy, .salvage])
        let screen = await phone.page(.salvage, .begin)
        #expect(screen.shown.salvaged?.saved == 1)
        #expect(try await phone.scan(code).code == code)
        #expect(await phone.page(.meeting).shown.setAside.isEmpty == false)
    }

    @Test func whatIsNoTagOpensNothing() {
        #expect(Opened(URL(string: "hw1:rpyxk3xj3thbe.2301kkj00wk")!) == .tag("HW1:RPYXK3XJ3THBE.2301KKJ00WK"))
        #expect(Opened(URL(fileURLWithPath: "/tmp/a.hwbundle")) == .bundle(URL(fileURLWithPath: "/tmp/a.hwbundle")))
        #expect(Opened(URL(string: "https://example.org")!) == nil)
    }
}
