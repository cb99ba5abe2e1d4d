import SwiftUI
import UIKit

/// Shows what another app handed over in a window of its own. A page puts up one
/// sheet or question at a time, and what comes from outside may meet any of them
/// open: this stands over them all, and leaves them as they are.
@MainActor
final class Above {
    private var window: UIWindow?

    nonisolated init() {}

    /// Shows a page over everything; what was shown so before goes.
    func show<Page: View>(_ page: Page) {
        let scenes = UIApplication.shared.connectedScenes.compactMap { $0 as? UIWindowScene }
        guard let scene = scenes.first(where: { $0.activationState == .foregroundActive }) ?? scenes.first else { return }
        close()
        let host = UIHostingController(rootView: page)
        // VoiceOver stays in it.
        host.view.accessibilityViewIsModal = true
        let above = UIWindow(windowScene: scene)
        above.rootViewController = host
        above.windowLevel = UIWindow.Level(rawValue: UIWindow.Level.alert.rawValue + 1)
        above.makeKeyAndVisible()
        window = above
    }

    /// Goes back to what was there before.
    func close() {
        window?.isHidden = true
        window = nil
    }
}
