import HosewrightKit
import SwiftUI

/// The hoses in stock that can take a hose's place; another one is scanned.
struct StockView: View {
    let desk: Desk
    let old: String
    @State private var screen: Screen
    @State private var scans = false
    /// The swap that was chosen.
    @State private var swap: FormOf?

    init(desk: Desk, old: String) {
        self.desk = desk
        self.old = old
        _screen = State(initialValue: Screen(desk: desk, of: .stock(old: old)))
    }

    var body: some View {
        List {
            Blocked(screen: screen)
            if let stock = screen.shown.stock {
                Text(stock.named).bold()
                if !stock.words.isEmpty { Text(stock.words) }
                ForEach(stock.hoses, id: \.code) { hose in
                    Button { swap = .swap(old: old, new: hose.code) } label: { SignedRow(hose) }.tint(.primary)
                }
                ForEach(stock.cautions, id: \.self) { Text($0) }
            }
        }
        .pinned { LargeButton(words: say.scan, main: true) { scans = true } }
        .navigationTitle(screen.shown.stock?.title ?? say.hoses)
        .navigationDestination(item: $swap) { of in FormView(desk: desk, of: of) }
        .sheet(isPresented: $scans) {
            NavigationStack {
                ScanView(desk: desk, wanted: .hose) { new in
                    scans = false
                    swap = .swap(old: old, new: new)
                }
                .cancelled { scans = false }
            }
        }
        .onAppear { screen.touch(.look) }
        .onDisappear { screen.leave() }
    }
}
