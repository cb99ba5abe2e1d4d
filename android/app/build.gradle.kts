plugins {
    // Brings Kotlin with it.
    id("com.android.application")
}

android {
    namespace = "org.hosewright.app"
    compileSdk = 36

    defaultConfig {
        // The name that stands on chips; core/src/tag/ndef has it too.
        applicationId = "org.hosewright.companion"
        minSdk = 26
        targetSdk = 34
        versionCode = 1
        versionName = "0.1.0"
    }

    // The screens' logic and the generated bindings are plain Kotlin beside the app.
    sourceSets["main"].kotlin.directories += listOf(
        "../companion/src/main/kotlin",
        "../companion/src/generated/kotlin",
    )

    buildTypes {
        release {
            isMinifyEnabled = true
            proguardFiles(getDefaultProguardFile("proguard-android-optimize.txt"), "keep.pro")
        }
    }

    compileOptions {
        sourceCompatibility = JavaVersion.VERSION_17
        targetCompatibility = JavaVersion.VERSION_17
    }
}

dependencies {
    // 5.17 or newer is aligned to pages of 16 KB.
    implementation("net.java.dev.jna:jna:5.19.1@aar")
}
