import Foundation
import HosewrightKit
import Testing

#if canImport(Glibc)
import Glibc
#else
import Darwin
#endif

/// Counters in the shop's network, met when a person asks.
@MainActor
struct CountersTests {
    @Test func aScannedSymbolLeadsToAFormThatAsksFirst() async throws {
        let (shop, counter) = (try Shop(), try Silent())
        let phone = try await Phone(shop)
        let scan = await phone.page(.scan(wanted: .answer))
        scan.frame([counter.symbol])
        await phone.settle(scan)
        #expect(scan.follows == .form(of: .counters(symbol: counter.symbol)))
        let form = await phone.form(.counters(symbol: counter.symbol))
        #expect(form.shown.form?.title == say.network)
        #expect(form.shown.form?.lead.first?.contains(counter.at) == true)
        #expect(form.shown.form?.submit.isEmpty == false)
        #expect(!counter.wasCalled())
    }

    @Test func aSymbolThatIsSpoiltIsSaid() async throws {
        let (shop, counter) = (try Shop(), try Silent())
        let phone = try await Phone(shop)
        let scan = await phone.page(.scan(wanted: .answer), .seen(texts: [String(counter.symbol.prefix(60))]))
        #expect(scan.follows == nil)
        #expect(scan.shown.trouble?.words.contains("was not read whole") == true)
    }

    @Test func aPhoneThatNoCounterLetInSaysHow() async throws {
        let phone = try await Phone(try Shop())
        let form = await phone.form(.counters(symbol: nil))
        #expect(form.shown.form?.submit == "")
        #expect(form.shown.form?.other?.goes == .scan)
    }

    @Test func aCounterThatSaysNothingIsStoppedAndNobodyWhoScansWaits() async throws {
        let (shop, counter) = (try Shop(), try Silent())
        let code = try shop.hose()
        let phone = try await Phone(shop)
        let form = await phone.form(.counters(symbol: counter.symbol))
        // The button is touched again before the page is drawn.
        for _ in 0..<2 { form.touch(.save) }
        while !form.underWay { await Task.yield() }
        #expect(form.progress?.isEmpty == false)
        #expect(try await phone.scan(code).code == code)
        #expect(form.underWay)
        form.stop()
        await phone.settle(form)
        #expect(form.shown.done == nil && form.progress == nil)
        #expect(form.shown.trouble?.words.lowercased().contains("stopped, as asked") == true)
        #expect(counter.wasCalled())
        #expect(!counter.wasCalled())
    }

    @Test func nobodyIsCalledByAPhoneThatNoCounterLetIn() async throws {
        let (shop, counter) = (try Shop(), try Silent())
        let phone = try await Phone(shop)
        _ = await phone.form(.counters(symbol: counter.symbol))
        phone.desk.meetByItself()
        #expect(PhoneRecord(place: shop.place).meetByItself(today: today) == false)
        #expect(!counter.wasCalled())
    }
}

/// Something that is reached in the network and says nothing.
private final class Silent {
    private let own: Int32
    let at: String

    init() throws {
        #if canImport(Glibc)
        own = socket(AF_INET, Int32(SOCK_STREAM.rawValue), 0)
        #else
        own = socket(AF_INET, SOCK_STREAM, 0)
        #endif
        var place = sockaddr_in()
        place.sin_family = sa_family_t(AF_INET)
        place.sin_addr.s_addr = UInt32(0x7F00_0001).bigEndian
        var size = socklen_t(MemoryLayout<sockaddr_in>.size)
        let (socket, long) = (own, size)
        let bound = withUnsafeMutablePointer(to: &place) { place in
            place.withMemoryRebound(to: sockaddr.self, capacity: 1) { place in
                bind(socket, place, long) == 0 && listen(socket, 8) == 0 && getsockname(socket, place, &size) == 0
            }
        }
        guard bound, fcntl(own, F_SETFL, O_NONBLOCK) == 0 else { throw Shop.Said(words: "no socket") }
        at = "127.0.0.1:\(UInt16(bigEndian: place.sin_port))"
    }

    deinit { close(own) }

    /// A symbol of a counter that would be reached there.
    var symbol: String {
        "HWC1:\(String(repeating: "A4DQOBYH", count: 6))A4DQ.BEEQSCIJBEEQSCIJBEEQSCIJBE/\(at)"
    }

    /// Whether somebody called by now.
    func wasCalled() -> Bool {
        let called = accept(own, nil, nil)
        if called >= 0 { close(called) }
        return called >= 0
    }
}
