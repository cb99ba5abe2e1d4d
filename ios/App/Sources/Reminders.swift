import HosewrightKit
@preconcurrency import UserNotifications

/// Reminds of what is due, on the day and in the words of the core, which the first page
/// asks for whenever it is looked at.
enum Reminders {
    /// Asks whether reminders may be shown, where nobody has said so; `refused` is called
    /// where they may not be.
    static func ask(refused: @escaping @MainActor @Sendable () -> Void) {
        UNUserNotificationCenter.current().requestAuthorization(options: [.alert, .sound]) { granted, _ in
            if !granted { DispatchQueue.main.async { MainActor.assumeIsolated { refused() } } }
        }
    }

    /// Sets the next reminder in place of the one before; none, and there is none any more.
    static func keep(_ reminder: ReminderShown?) {
        let today = Desk.day()
        UNUserNotificationCenter.current().getPendingNotificationRequests { known in
            // The one of today is still to come.
            let others = known.map(\.identifier).filter { reminder == nil || $0 != today }
            let center = UNUserNotificationCenter.current()
            center.removePendingNotificationRequests(withIdentifiers: others)
            guard let reminder else { return }
            center.add(request(reminder))
        }
    }

    private static func request(_ reminder: ReminderShown) -> UNNotificationRequest {
        let content = UNMutableNotificationContent()
        content.title = reminder.title
        content.body = reminder.words
        content.sound = .default
        var parts = DateComponents()
        let day = reminder.on.split(separator: "-").compactMap { Int($0) }
        if day.count == 3 { (parts.year, parts.month, parts.day) = (day[0], day[1], day[2]) }
        parts.hour = Int(reminder.hour)
        let trigger = UNCalendarNotificationTrigger(dateMatching: parts, repeats: false)
        return UNNotificationRequest(identifier: reminder.on, content: content, trigger: trigger)
    }
}
