// Stub of the part of UserNotifications (Xcode 16, iOS 18 SDK) that the app uses.
@_exported import Foundation

public struct UNAuthorizationOptions: OptionSet, Sendable {
    public let rawValue: UInt
    public init(rawValue: UInt) { self.rawValue = rawValue }
    public static let alert = UNAuthorizationOptions(rawValue: 4)
    public static let sound = UNAuthorizationOptions(rawValue: 2)
}
open class UNNotificationSound: NSObject {
    open class var `default`: UNNotificationSound { fatalError() }
}
open class UNNotificationContent: NSObject {}
open class UNMutableNotificationContent: UNNotificationContent {
    open var title: String { get { fatalError() } set { fatalError() } }
    open var body: String { get { fatalError() } set { fatalError() } }
    open var sound: UNNotificationSound? { get { fatalError() } set { fatalError() } }
}
open class UNNotificationTrigger: NSObject {}
open class UNCalendarNotificationTrigger: UNNotificationTrigger {
    public init(dateMatching dateComponents: DateComponents, repeats: Bool) { fatalError() } // SDK: imported convenience init
}
open class UNNotificationRequest: NSObject {
    open var identifier: String { fatalError() }
    public init(identifier: String, content: UNNotificationContent, trigger: UNNotificationTrigger?) { fatalError() } // SDK: imported convenience init
}
// unsure: whether it is Sendable; nothing of it is carried from one actor to another.
open class UNUserNotificationCenter: NSObject {
    open class func current() -> UNUserNotificationCenter { fatalError() }
    open func requestAuthorization(options: UNAuthorizationOptions = [], completionHandler: @escaping @Sendable (Bool, (any Error)?) -> Void) {}
    open func getPendingNotificationRequests(completionHandler: @escaping @Sendable ([UNNotificationRequest]) -> Void) {}
    open func removePendingNotificationRequests(withIdentifiers identifiers: [String]) {}
    open func add(_ request: UNNotificationRequest, withCompletionHandler completionHandler: (@Sendable ((any Error)?) -> Void)? = nil) {}
}
