import Foundation
import HosewrightKit
import Observation
import Testing

/// Touches as people make them: many in one turn of the main thread.
@MainActor
struct TouchTests {
    let shop: Shop
    let phone: Phone
    let code: String

    init() async throws {
        shop = try Shop()
        code = try shop.hose()
        phone = try await Phone(shop)
    }

    private var quick: FormOf { .hose(hose: code, form: "quick-look") }

    @Test func whatIsTypedAndSavedInOneTurnIsSaved() async throws {
        for round in 0..<100 {
            let screen = Screen(desk: phone.desk, of: .form(of: quick))
            screen.touch(.write("note", "first \(round)"))
            screen.touch(.save(typed: [Written(field: "note", text: "note \(round) end")], answer: nil))
            // The button is touched again before the page is drawn.
            screen.touch(.save)
            await phone.settle(screen)
            let history = try await phone.hose(code).history
            #expect(history[0].words.contains("note \(round) end"))
            #expect(history.count == round + 2)
        }
    }

    @Test func ofEightQuickChangesTheLastStays() async throws {
        for round in 0..<60 {
            let screen = Screen(desk: phone.desk, of: .form(of: quick))
            for change in 0..<8 { screen.touch(.write("note", "\(round)-\(change)")) }
            await phone.settle(screen)
            let kept = await phone.form(quick).shown.field("note")?.value
            #expect(kept == "\(round)-7")
        }
    }

    @Test func aSecondTouchTakesNothingBack() async throws {
        let screen = Screen(desk: phone.desk, of: .form(of: .hose(hose: code, form: "full-inspection")))
        for touch in [Touch.tick("clear-end-a"), .tick("clear-end-a"), .choose("finding", "run:scuff"), .choose("finding", "run:cut:cover")] {
            screen.touch(touch)
        }
        await phone.settle(screen)
        #expect(screen.shown.field("clear-end-a")?.value == "yes")
        #expect(screen.shown.chosen("finding").sorted() == ["run:cut:cover", "run:scuff"])
    }

    @Test func aRefusedNoteIsNotDropped() async throws {
        let before = try await phone.hose(code).history.count
        let long = String(repeating: "x", count: 5000)
        let screen = await phone.form(quick, .save(typed: [Written(field: "note", text: long)], answer: nil))
        #expect(screen.shown.done == nil)
        #expect(screen.shown.trouble?.words.contains("a note") == true)
        #expect(screen.shown.field("note")?.value == long)
        #expect(try await phone.hose(code).history.count == before)
    }

    @Test func thePageIsObservedWhole() async throws {
        let screen = await phone.form(.hose(hose: code, form: "clean"))
        // A saved form is seen although nothing was in the way before and nothing is after.
        let changed = Flag()
        withObservationTracking { _ = screen.shown } onChange: { changed.raise() }
        await phone.go(screen, .save)
        #expect(changed.raised)
        #expect(screen.shown.done != nil)
        let follows = Flag()
        let other = await phone.page(.scan(wanted: .answer))
        withObservationTracking { _ = other.follows } onChange: { follows.raise() }
        await phone.go(other, .typed(text: code))
        #expect(follows.raised)
    }

    @Test func nothingFollowsOnceThePageWasLeft() async throws {
        let screen = await phone.page(.scan(wanted: .answer))
        screen.touch(.typed(text: code))
        screen.leave()
        await phone.settle(screen)
        #expect(screen.follows == nil)
        await phone.go(screen, .look, .typed(text: code))
        #expect(screen.follows == .hose(text: code, said: "", aloud: true))
    }

    @Test func theNameIsAskedBeforeTheFirstEntry() async throws {
        let shop = try Shop()
        let code = try shop.hose()
        let phone = try await Phone(shop, named: nil)
        #expect(try await phone.scan(code).code == code)
        let screen = await phone.form(.hose(hose: code, form: "clean"), .save)
        #expect(screen.shown.question?.field != nil && screen.shown.done == nil)
        await phone.go(screen, .yes(text: " "))
        #expect(screen.shown.done == nil && screen.shown.trouble != nil)
        await phone.go(screen, .yes(text: "Mo"))
        #expect(screen.shown.done != nil)
        #expect(try await phone.hose(code).history.first?.by == "Mo")
    }
}

private final class Flag: @unchecked Sendable {
    private(set) var raised = false
    func raise() { raised = true }
}
