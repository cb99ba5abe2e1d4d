import Foundation
import HosewrightKit
import Testing

/// A phone at a shop's record.
func desk(of shop: Shop) -> Desk {
    let place = Place(store: shop.path("record.hosewright").path, keys: shop.path("phone-keys").path)
    return Desk(place: place, today: { today }, by: { "phone" })
}

@MainActor @Test func whatThePhoneWritesTheCommandLineReads() async throws {
    let shop = try Shop()
    let code = try shop.hose()
    let screen = FormScreen(desk: desk(of: shop), of: .hose(hose: code, form: "clean"))
    screen.submit()
    while screen.asking > 0 { await Task.yield() }
    #expect(screen.done?.answer?.code == code)
    #expect(try shop.run(["export"]).out.contains("\"cleaned\""))
}
