import Foundation
import HosewrightKit

/// A phone at a shop's record. A touch is handed over as a page hands it over, and what
/// follows is taken as a page takes it.
@MainActor
final class Phone {
    let desk: Desk

    /// `named` is who answered once that it is them who writes.
    init(_ shop: Shop, named: String? = "phone") async throws {
        desk = Desk(place: shop.place, today: { today })
        if let named {
            // Any form asks; this one is never finished, so nothing is written.
            let form = Screen(desk: desk, of: .form(of: .register(tag: nil)))
            form.touch(.save(typed: [], answer: nil))
            form.touch(.yes(text: named))
            await settle(form)
        }
    }

    /// Waits until a page has its answers.
    func settle(_ screen: Screen) async {
        while screen.asking > 0 { await Task.yield() }
    }

    /// What a page holds once it was touched so.
    func page(_ of: PageOf, _ touches: Touch...) async -> Screen {
        let screen = Screen(desk: desk, of: of)
        screen.touch(.look)
        touches.forEach(screen.touch)
        await settle(screen)
        return screen
    }

    func form(_ of: FormOf, _ touches: Touch...) async -> Screen {
        let screen = await page(.form(of: of))
        touches.forEach(screen.touch)
        await settle(screen)
        return screen
    }

    func go(_ screen: Screen, _ touches: Touch...) async {
        touches.forEach(screen.touch)
        await settle(screen)
    }

    func hose(_ text: String) async throws -> HoseShown {
        let shown = await page(.hose(text: text)).shown
        guard let hose = shown.hose else { throw Shop.Said(words: shown.trouble?.words ?? "nothing") }
        return hose
    }

    /// The answer to which a code leads.
    func scan(_ text: String) async throws -> Answer {
        let screen = await page(.scan(wanted: .answer), .typed(text: text))
        guard case .hose(let text, _, _) = screen.follows else { throw Shop.Said(words: screen.shown.trouble?.words ?? "nothing") }
        return try await hose(text).answer
    }
}

extension Shop {
    var place: Place { Place(store: path("record.hosewright").path, keys: path("phone-keys").path) }
}

extension Touch {
    static let save = Touch.save(typed: [], answer: nil)

    static func tick(_ field: String) -> Touch { .tick(field: field, yes: true) }

    static func choose(_ field: String, _ value: String) -> Touch { .choose(field: field, value: value, yes: true) }

    static func write(_ field: String, _ text: String) -> Touch { .write(field: field, text: text) }
}

extension Shown {
    /// Every field of the form, also those that are folded.
    var fields: [FieldShown] { form?.groups.flatMap { $0.fields + ($0.fold?.fields ?? []) } ?? [] }

    func field(_ name: String) -> FieldShown? { fields.first { $0.name == name } }

    func chosen(_ name: String) -> [String] {
        fields.filter { $0.name == name }.flatMap(\.choices).filter(\.chosen).map(\.value)
    }
}
