import UniformTypeIdentifiers

// MARK: views

public struct Text: View, Equatable, Sendable {
    nonisolated public init(_ key: LocalizedStringKey, tableName: String? = nil, bundle: Bundle? = nil, comment: StaticString? = nil) {}
    nonisolated public init(verbatim content: String) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ content: S) {}
    @_disfavoredOverload nonisolated public init(_ attributedContent: AttributedString) {}
    public typealias Body = Never
    nonisolated public func font(_ font: Font?) -> Text { self }
    nonisolated public func bold() -> Text { self }
    nonisolated public func bold(_ isActive: Bool) -> Text { self }
    nonisolated public func monospaced(_ isActive: Bool = true) -> Text { self }
    nonisolated public func foregroundStyle<S: ShapeStyle>(_ style: S) -> Text { self }
}
public struct Image: View, Equatable, Sendable, Transferable {
    public enum ResizingMode: Sendable { case tile, stretch }
    nonisolated public init(uiImage: UIImage) {}
    nonisolated public init(systemName: String) {}
    nonisolated public func resizable(capInsets: EdgeInsets = EdgeInsets(), resizingMode: ResizingMode = .stretch) -> Image { self }
    public typealias Body = Never
}
public struct EdgeInsets: Equatable, Sendable { public init() {} }
public struct Label<Title: View, Icon: View>: View { public typealias Body = Never }
extension Label where Title == Text, Icon == Image {
    nonisolated public init(_ titleKey: LocalizedStringKey, systemImage name: String) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ title: S, systemImage name: String) {}
}
public struct Button<Label: View>: View {
    @preconcurrency nonisolated public init(action: @escaping @MainActor () -> Void, @ViewBuilder label: () -> Label) {}
    public typealias Body = Never
}
extension Button where Label == Text {
    @preconcurrency nonisolated public init(_ titleKey: LocalizedStringKey, action: @escaping @MainActor () -> Void) {}
    @_disfavoredOverload @preconcurrency nonisolated public init<S: StringProtocol>(_ title: S, action: @escaping @MainActor () -> Void) {}
    @preconcurrency nonisolated public init(_ titleKey: LocalizedStringKey, role: ButtonRole?, action: @escaping @MainActor () -> Void) {}
    @_disfavoredOverload @preconcurrency nonisolated public init<S: StringProtocol>(_ title: S, role: ButtonRole?, action: @escaping @MainActor () -> Void) {}
}
extension Button {
    @preconcurrency nonisolated public init(role: ButtonRole?, action: @escaping @MainActor () -> Void, @ViewBuilder label: () -> Label) {}
}
public struct TextField<Label: View>: View { public typealias Body = Never }
extension TextField where Label == Text {
    nonisolated public init(_ titleKey: LocalizedStringKey, text: Binding<String>) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ title: S, text: Binding<String>) {}
    nonisolated public init(_ titleKey: LocalizedStringKey, text: Binding<String>, axis: Axis) {}
}
public struct Stepper<Label: View>: View { public typealias Body = Never }
extension Stepper where Label == Text {
    nonisolated public init<V: Strideable>(_ titleKey: LocalizedStringKey, value: Binding<V>, in bounds: ClosedRange<V>, step: V.Stride = 1,
                               onEditingChanged: @escaping (Bool) -> Void = { _ in }) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol, V: Strideable>(_ title: S, value: Binding<V>, in bounds: ClosedRange<V>, step: V.Stride = 1,
                               onEditingChanged: @escaping (Bool) -> Void = { _ in }) {}
}
public struct VStack<Content: View>: View {
    nonisolated public init(alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil, @ViewBuilder content: () -> Content) {}
    public typealias Body = Never
}
public struct HStack<Content: View>: View {
    nonisolated public init(alignment: VerticalAlignment = .center, spacing: CGFloat? = nil, @ViewBuilder content: () -> Content) {}
    public typealias Body = Never
}
public struct ScrollView<Content: View>: View {
    nonisolated public init(_ axes: Axis.Set = .vertical, showsIndicators: Bool = true, @ViewBuilder content: () -> Content) {}
    public typealias Body = Never
}
public struct List<SelectionValue: Hashable, Content: View>: View { public typealias Body = Never }
extension List where SelectionValue == Never {
    nonisolated public init(@ViewBuilder content: () -> Content) {}
}
public struct ForEach<Data: RandomAccessCollection, ID: Hashable, Content> {}
extension ForEach: View where Content: View {
    public typealias Body = Never
    nonisolated public init(_ data: Data, id: KeyPath<Data.Element, ID>, @ViewBuilder content: @escaping (Data.Element) -> Content) {}
}
extension ForEach where ID == Data.Element.ID, Content: View, Data.Element: Identifiable {
    nonisolated public init(_ data: Data, @ViewBuilder content: @escaping (Data.Element) -> Content) {}
}
public struct Section<Parent, Content, Footer> {}
extension Section: View where Parent: View, Content: View, Footer: View { public typealias Body = Never }
extension Section where Parent == Text, Content: View, Footer == EmptyView {
    nonisolated public init(_ titleKey: LocalizedStringKey, @ViewBuilder content: () -> Content) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ title: S, @ViewBuilder content: () -> Content) {}
}
public struct DisclosureGroup<Label: View, Content: View>: View { public typealias Body = Never }
extension DisclosureGroup where Label == Text {
    nonisolated public init(_ titleKey: LocalizedStringKey, @ViewBuilder content: @escaping () -> Content) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ label: S, @ViewBuilder content: @escaping () -> Content) {}
}
public struct NavigationPath {}
public struct NavigationStack<Data, Root: View>: View {
    nonisolated public init(@ViewBuilder root: () -> Root) where Data == NavigationPath {}
    public typealias Body = Never
}
public struct NavigationLink<Label: View, Destination: View>: View {
    nonisolated public init(@ViewBuilder destination: () -> Destination, @ViewBuilder label: () -> Label) {}
    public typealias Body = Never
}
extension NavigationLink where Label == Text {
    nonisolated public init(_ titleKey: LocalizedStringKey, @ViewBuilder destination: () -> Destination) {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol>(_ title: S, @ViewBuilder destination: () -> Destination) {}
}
extension NavigationLink where Destination == Never {
    nonisolated public init<P: Hashable>(_ titleKey: LocalizedStringKey, value: P?) where Label == Text {}
    @_disfavoredOverload nonisolated public init<S: StringProtocol, P: Hashable>(_ title: S, value: P?) where Label == Text {}
}
public struct WindowGroup<Content: View>: Scene {
    nonisolated public init(@ViewBuilder content: () -> Content) {}
    nonisolated public init(makeContent: @escaping () -> Content) {} // iOS 16+
    public typealias Body = Never
}
public struct ToolbarItemPlacement { public static let cancellationAction = Self() }
extension ToolbarItemPlacement: Sendable {}
public struct ToolbarItem<ID, Content: View>: ToolbarContent { public typealias Body = Never }
extension ToolbarItem where ID == () {
    nonisolated public init(placement: ToolbarItemPlacement = .cancellationAction, @ViewBuilder content: () -> Content) {}
}

public struct GridItem: Sendable {
    public enum Size: Sendable {
        case fixed(CGFloat)
        case flexible(minimum: CGFloat = 10, maximum: CGFloat = .infinity)
        case adaptive(minimum: CGFloat, maximum: CGFloat = .infinity)
    }
    public init(_ size: GridItem.Size = .flexible(), spacing: CGFloat? = nil, alignment: Alignment? = nil) {}
}
public struct PinnedScrollableViews: OptionSet, Sendable {
    public let rawValue: UInt32
    public init(rawValue: UInt32) { self.rawValue = rawValue }
}
public struct LazyVGrid<Content: View>: View {
    nonisolated public init(columns: [GridItem], alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil,
                pinnedViews: PinnedScrollableViews = .init(), @ViewBuilder content: () -> Content) {}
    public typealias Body = Never
}

// ShareLink
public struct DefaultShareLinkLabel: View { public typealias Body = Never }
public struct SharePreview<Image: Transferable, Icon: Transferable> {}
extension SharePreview where Icon == Never {
    public init(_ titleKey: LocalizedStringKey, image: Image) {}
    @_disfavoredOverload public init<S: StringProtocol>(_ title: S, image: Image) {}
}
public struct ShareLink<Data: RandomAccessCollection, PreviewImage: Transferable, PreviewIcon: Transferable, Label: View>: View
where Data.Element: Transferable { public typealias Body = Never }
extension ShareLink {
    nonisolated public init<I: Transferable>(item: I, subject: Text? = nil, message: Text? = nil, preview: SharePreview<PreviewImage, PreviewIcon>,
                                 @ViewBuilder label: () -> Label) where Data == CollectionOfOne<I> {}
}
extension ShareLink where PreviewImage == Never, PreviewIcon == Never, Data.Element == URL {
    nonisolated public init(items: Data, subject: Text? = nil, message: Text? = nil, @ViewBuilder label: () -> Label) {}
    nonisolated public init(item: URL, subject: Text? = nil, message: Text? = nil, @ViewBuilder label: () -> Label) where Data == CollectionOfOne<URL> {}
}
extension ShareLink where PreviewImage == Never, PreviewIcon == Never, Data.Element == String {
    nonisolated public init(items: Data, subject: Text? = nil, message: Text? = nil, @ViewBuilder label: () -> Label) {}
    nonisolated public init(item: String, subject: Text? = nil, message: Text? = nil, @ViewBuilder label: () -> Label) where Data == CollectionOfOne<String> {}
}
extension ShareLink where Label == DefaultShareLinkLabel {
    nonisolated public init<I: Transferable>(item: I, subject: Text? = nil, message: Text? = nil, preview: SharePreview<PreviewImage, PreviewIcon>)
    where Data == CollectionOfOne<I> {}
}
extension ShareLink where PreviewImage == Never, PreviewIcon == Never, Label == DefaultShareLinkLabel, Data.Element == URL {
    nonisolated public init(items: Data, subject: Text? = nil, message: Text? = nil) {}
    nonisolated public init(item: URL, subject: Text? = nil, message: Text? = nil) where Data == CollectionOfOne<URL> {}
}
extension ShareLink where PreviewImage == Never, PreviewIcon == Never, Label == DefaultShareLinkLabel, Data.Element == String {
    nonisolated public init(items: Data, subject: Text? = nil, message: Text? = nil) {}
    nonisolated public init(item: String, subject: Text? = nil, message: Text? = nil) where Data == CollectionOfOne<String> {}
}

// MARK: drawing

public struct Path: Equatable, Sendable {
    public init() {}
    public init(_ rect: CGRect) {}
    public init(roundedRect rect: CGRect, cornerRadius: CGFloat, style: RoundedCornerStyle = .continuous) {}
    public init(ellipseIn rect: CGRect) {}
    public init(_ callback: (inout Path) -> Void) {}
    public mutating func move(to end: CGPoint) {}
    public mutating func addLine(to end: CGPoint) {}
    public mutating func addCurve(to end: CGPoint, control1: CGPoint, control2: CGPoint) {}
    public mutating func closeSubpath() {}
    // SDK: has a `transform` with a default, too.
    public mutating func addRect(_ rect: CGRect) {}
}
public struct GraphicsContext {
    public struct Shading: Sendable {
        public static func color(_ color: Color) -> Shading { fatalError() }
        public static func color(_ colorSpace: Color.RGBColorSpace = .sRGB, red: Double, green: Double, blue: Double, opacity: Double = 1) -> Shading { fatalError() }
        public static func style<S: ShapeStyle>(_ style: S) -> Shading { fatalError() }
    }
    public struct ResolvedText {
        public func measure(in size: CGSize) -> CGSize { fatalError() }
        public func firstBaseline(in size: CGSize) -> CGFloat { fatalError() }
        public func lastBaseline(in size: CGSize) -> CGFloat { fatalError() }
    }
    public func fill(_ path: Path, with shading: Shading, style: FillStyle = FillStyle()) {}
    public func stroke(_ path: Path, with shading: Shading, style: StrokeStyle) {}
    public func stroke(_ path: Path, with shading: Shading, lineWidth: CGFloat = 1) {}
    public func resolve(_ text: Text) -> ResolvedText { fatalError() }
    public func draw(_ text: ResolvedText, in rect: CGRect) {}
    public func draw(_ text: ResolvedText, at point: CGPoint, anchor: UnitPoint = .center) {}
    public func draw(_ text: Text, at point: CGPoint, anchor: UnitPoint = .center) {}
}
public enum ContentMode: Hashable, Sendable { case fit, fill }
public struct ProgressView<Label: View, CurrentValueLabel: View>: View { public typealias Body = Never }
extension ProgressView where Label == EmptyView, CurrentValueLabel == EmptyView {
    nonisolated public init<V: BinaryFloatingPoint>(value: V?, total: V = 1.0) {}
}
public struct Canvas<Symbols: View>: View { public typealias Body = Never }
extension Canvas where Symbols == EmptyView {
    nonisolated public init(opaque: Bool = false, colorMode: ColorRenderingMode = .nonLinear, rendersAsynchronously: Bool = false,
                renderer: @escaping (inout GraphicsContext, CGSize) -> Void) {}
}
public protocol Shape: Sendable, View { nonisolated func path(in rect: CGRect) -> Path }
extension Shape {
    nonisolated public func stroke<S: ShapeStyle>(_ content: S, style: StrokeStyle) -> some View { _Modified<EmptyView>() }
    nonisolated public func stroke<S: ShapeStyle>(_ content: S, lineWidth: CGFloat = 1) -> some View { _Modified<EmptyView>() }
}
public struct RoundedRectangle: Shape {
    nonisolated public init(cornerRadius: CGFloat, style: RoundedCornerStyle = .continuous) {}
    nonisolated public func path(in rect: CGRect) -> Path { Path() }
    public typealias Body = Never
}

// MARK: UIKit in SwiftUI

@MainActor @preconcurrency public protocol UIViewRepresentable: View where Self.Body == Never {
    associatedtype UIViewType: UIView
    @MainActor @preconcurrency func makeUIView(context: Self.Context) -> Self.UIViewType
    @MainActor @preconcurrency func updateUIView(_ uiView: Self.UIViewType, context: Self.Context)
    typealias Context = UIViewRepresentableContext<Self>
}
@MainActor @preconcurrency public protocol UIViewControllerRepresentable: View where Self.Body == Never {
    associatedtype UIViewControllerType: UIViewController
    associatedtype Coordinator = Void
    @MainActor @preconcurrency func makeUIViewController(context: Self.Context) -> Self.UIViewControllerType
    @MainActor @preconcurrency func updateUIViewController(_ uiViewController: Self.UIViewControllerType, context: Self.Context)
    @MainActor @preconcurrency func makeCoordinator() -> Self.Coordinator
    typealias Context = UIViewControllerRepresentableContext<Self>
}
@MainActor @preconcurrency public struct UIViewControllerRepresentableContext<Representable: UIViewControllerRepresentable> {
    public var coordinator: Representable.Coordinator { fatalError() }
}
@MainActor @preconcurrency public struct UIViewRepresentableContext<Representable: UIViewRepresentable> {}
@MainActor @preconcurrency open class UIHostingController<Content: View>: UIViewController {
    public init(rootView: Content) { fatalError() }
    public var rootView: Content { get { fatalError() } set { fatalError() } }
}

// MARK: modifiers

extension View {
    nonisolated public func padding(_ edges: Edge.Set = .all, _ length: CGFloat? = nil) -> some View { _Modified<Self>() }
    nonisolated public func padding(_ length: CGFloat) -> some View { _Modified<Self>() }
    nonisolated public func frame(width: CGFloat? = nil, height: CGFloat? = nil, alignment: Alignment = .center) -> some View { _Modified<Self>() }
    nonisolated public func frame(minWidth: CGFloat? = nil, idealWidth: CGFloat? = nil, maxWidth: CGFloat? = nil, minHeight: CGFloat? = nil,
                      idealHeight: CGFloat? = nil, maxHeight: CGFloat? = nil, alignment: Alignment = .center) -> some View { _Modified<Self>() }
    @inlinable nonisolated public func onAppear(perform action: (() -> Void)? = nil) -> some View { self }
    @inlinable nonisolated public func onDisappear(perform action: (() -> Void)? = nil) -> some View { self }
    @available(iOS, deprecated: 17.0) nonisolated public func onChange<V: Equatable>(of value: V, perform action: @escaping (V) -> Void) -> some View { _Modified<Self>() }
    nonisolated public func onChange<V: Equatable>(of value: V, initial: Bool = false, _ action: @escaping (V, V) -> Void) -> some View { _Modified<Self>() }
    nonisolated public func onChange<V: Equatable>(of value: V, initial: Bool = false, _ action: @escaping () -> Void) -> some View { _Modified<Self>() }
    nonisolated public func alert<A: View>(_ titleKey: LocalizedStringKey, isPresented: Binding<Bool>, @ViewBuilder actions: () -> A) -> some View { _Modified<Self>() }
    @_disfavoredOverload nonisolated public func alert<S: StringProtocol, A: View>(_ title: S, isPresented: Binding<Bool>, @ViewBuilder actions: () -> A) -> some View { _Modified<Self>() }
    nonisolated public func alert<A: View, M: View>(_ titleKey: LocalizedStringKey, isPresented: Binding<Bool>, @ViewBuilder actions: () -> A, @ViewBuilder message: () -> M) -> some View { _Modified<Self>() }
    nonisolated public func confirmationDialog<A: View>(_ titleKey: LocalizedStringKey, isPresented: Binding<Bool>, titleVisibility: Visibility = .automatic, @ViewBuilder actions: () -> A) -> some View { _Modified<Self>() }
    @_disfavoredOverload nonisolated public func confirmationDialog<S: StringProtocol, A: View>(_ title: S, isPresented: Binding<Bool>, titleVisibility: Visibility = .automatic, @ViewBuilder actions: () -> A) -> some View { _Modified<Self>() }
    nonisolated public func fullScreenCover<Content: View>(isPresented: Binding<Bool>, onDismiss: (() -> Void)? = nil, @ViewBuilder content: @escaping () -> Content) -> some View { _Modified<Self>() }
    nonisolated public func sheet<Content: View>(isPresented: Binding<Bool>, onDismiss: (() -> Void)? = nil, @ViewBuilder content: @escaping () -> Content) -> some View { _Modified<Self>() }
    nonisolated public func sheet<Item: Identifiable, Content: View>(item: Binding<Item?>, onDismiss: (() -> Void)? = nil, @ViewBuilder content: @escaping (Item) -> Content) -> some View { _Modified<Self>() }
    nonisolated public func navigationDestination<D: Hashable, C: View>(item: Binding<D?>, @ViewBuilder destination: @escaping (D) -> C) -> some View { _Modified<Self>() }
    nonisolated public func navigationTitle(_ titleKey: LocalizedStringKey) -> some View { _Modified<Self>() }
    @_disfavoredOverload nonisolated public func navigationTitle<S: StringProtocol>(_ title: S) -> some View { _Modified<Self>() }
    nonisolated public func navigationTitle(_ title: Text) -> some View { _Modified<Self>() }
    nonisolated public func font(_ font: Font?) -> some View { _Modified<Self>() }
    nonisolated public func bold(_ isActive: Bool = true) -> some View { _Modified<Self>() }
    nonisolated public func monospaced(_ isActive: Bool = true) -> some View { _Modified<Self>() }
    nonisolated public func keyboardType(_ type: UIKeyboardType) -> some View { _Modified<Self>() }
    nonisolated public func textInputAutocapitalization(_ autocapitalization: TextInputAutocapitalization?) -> some View { _Modified<Self>() }
    nonisolated public func autocorrectionDisabled(_ disable: Bool = true) -> some View { _Modified<Self>() }
    nonisolated public func focused<Value: Hashable>(_ binding: FocusState<Value>.Binding, equals value: Value) -> some View { _Modified<Self>() }
    nonisolated public func focused(_ condition: FocusState<Bool>.Binding) -> some View { _Modified<Self>() }
    nonisolated public func onSubmit(of triggers: SubmitTriggers = .text, _ action: @escaping () -> Void) -> some View { _Modified<Self>() }
    nonisolated public func tint<S: ShapeStyle>(_ tint: S?) -> some View { _Modified<Self>() }
    nonisolated public func tint(_ tint: Color?) -> some View { _Modified<Self>() }
    nonisolated public func buttonStyle<S: PrimitiveButtonStyle>(_ style: S) -> some View { _Modified<Self>() }
    nonisolated public func overlay<Overlay: View>(_ overlay: Overlay, alignment: Alignment = .center) -> some View { _Modified<Self>() }
    nonisolated public func overlay<V: View>(alignment: Alignment = .center, @ViewBuilder content: () -> V) -> some View { _Modified<Self>() }
    nonisolated public func overlay<S: ShapeStyle>(_ style: S, ignoresSafeAreaEdges edges: Edge.Set = .all) -> some View { _Modified<Self>() }
    nonisolated public func background<Background: View>(_ background: Background, alignment: Alignment = .center) -> some View { _Modified<Self>() }
    nonisolated public func background<S: ShapeStyle>(_ style: S, ignoresSafeAreaEdges edges: Edge.Set = .all) -> some View { _Modified<Self>() }
    nonisolated public func fontWeight(_ weight: Font.Weight?) -> some View { _Modified<Self>() }
    nonisolated public func safeAreaInset<V: View>(edge: VerticalEdge, alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil, @ViewBuilder content: () -> V) -> some View { _Modified<Self>() }
    nonisolated public func onTapGesture(count: Int = 1, perform action: @escaping () -> Void) -> some View { _Modified<Self>() }
    nonisolated public func aspectRatio(_ aspectRatio: CGFloat? = nil, contentMode: ContentMode) -> some View { _Modified<Self>() }
    nonisolated public func scaledToFit() -> some View { _Modified<Self>() }
    nonisolated public func defaultScrollAnchor(_ anchor: UnitPoint?) -> some View { _Modified<Self>() }
    nonisolated public func accessibilityElement(children: AccessibilityChildBehavior = .ignore) -> some View { _Modified<Self>() }
    nonisolated public func accessibilityLabel(_ label: Text) -> some View { _Modified<Self>() }
    nonisolated public func accessibilityLabel(_ labelKey: LocalizedStringKey) -> some View { _Modified<Self>() }
    @_disfavoredOverload nonisolated public func accessibilityLabel<S: StringProtocol>(_ label: S) -> some View { _Modified<Self>() }
    nonisolated public func accessibilityHidden(_ hidden: Bool) -> some View { _Modified<Self>() }
    nonisolated public func accessibilityAddTraits(_ traits: AccessibilityTraits) -> some View { _Modified<Self>() }
    nonisolated public func environment<V>(_ keyPath: WritableKeyPath<EnvironmentValues, V>, _ value: V) -> some View { _Modified<Self>() }
    nonisolated public func onOpenURL(perform action: @escaping (URL) -> Void) -> some View { _Modified<Self>() }
    nonisolated public func toolbar<Content: View>(@ViewBuilder content: () -> Content) -> some View { _Modified<Self>() }
    nonisolated public func toolbar<Content: ToolbarContent>(@ToolbarContentBuilder content: () -> Content) -> some View { _Modified<Self>() }
    nonisolated public func fileImporter(isPresented: Binding<Bool>, allowedContentTypes: [UTType], onCompletion: @escaping (Result<URL, any Error>) -> Void) -> some View { _Modified<Self>() }
    nonisolated public func fileImporter(isPresented: Binding<Bool>, allowedContentTypes: [UTType], allowsMultipleSelection: Bool, onCompletion: @escaping (Result<[URL], any Error>) -> Void) -> some View { _Modified<Self>() }
}
