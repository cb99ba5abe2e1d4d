// swift-tools-version: 5.9
import PackageDescription

// `ios/build-xcframework` makes HosewrightCoreFFI.xcframework out of the Rust
// library; HosewrightCore is generated and never edited.
let package = Package(
    name: "HosewrightKit",
    platforms: [.iOS(.v17)],
    products: [
        .library(name: "HosewrightKit", targets: ["HosewrightKit"])
    ],
    targets: [
        .binaryTarget(name: "HosewrightCoreFFI", path: "HosewrightCoreFFI.xcframework"),
        .target(name: "HosewrightCore", dependencies: ["HosewrightCoreFFI"]),
        .target(name: "HosewrightKit", dependencies: ["HosewrightCore"]),
    ]
)
