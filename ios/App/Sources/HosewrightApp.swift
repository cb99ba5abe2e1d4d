import HosewrightKit
import SwiftUI

/// The app: it has the one record of this phone.
@main
struct HosewrightApp: App {
    private let desk: Desk?

    init() {
        desk = (try? Desk.ownPlace()).map { Desk(place: $0) }
    }

    var body: some Scene {
        WindowGroup {
            if let desk {
                Home(desk: desk)
            } else {
                Text(obstacleShown(obstacle: .storeReadOnly).words).padding()
            }
        }
    }
}

/// The first page, and over it what another app handed over.
private struct Home: View {
    let desk: Desk
    @State private var above = Above()
    @Environment(\.scenePhase) private var phase

    var body: some View {
        NavigationStack { ScanView(desk: desk) }
            .environment(\.desk, desk)
            // A page that was there all the time is not looked at anew.
            .onChange(of: phase) { _, phase in if phase == .active { desk.meetByItself() } }
            .onOpenURL { url in
                guard let what = Opened(url) else { return }
                above.show(Handed(desk: desk, what: what) { above.close() })
            }
    }
}

/// What another app handed over.
private struct Handed: View {
    let desk: Desk
    let what: Opened
    let close: @MainActor () -> Void

    var body: some View {
        NavigationStack {
            page.toolbar {
                ToolbarItem(placement: .cancellationAction) { Button(say.close, action: close) }
            }
        }
        .environment(\.desk, desk)
    }

    @ViewBuilder private var page: some View {
        switch what {
        case .bundle(let file): MeetingView(desk: desk, incoming: file)
        case .tag(let text): HoseView(desk: desk, text: text, speaks: true)
        }
    }
}
