import HosewrightKit
import SwiftUI

/// The app: it has the one record of this phone, and the name of who uses it.
@main
struct HosewrightApp: App {
    private let desk: Desk?

    init() {
        desk = (try? Desk.ownPlace()).map { place in
            Desk(place: place) {
                UserDefaults.standard.string(forKey: "name") ?? "Hosewright"
            }
        }
    }

    var body: some Scene {
        WindowGroup {
            if let desk {
                NavigationStack { ScanView(desk: desk) }
            } else {
                TroubleView(trouble: Trouble(Obstacle.storeReadOnly)) { _ in }
            }
        }
    }
}
