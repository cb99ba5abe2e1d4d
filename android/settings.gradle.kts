// The app, for a machine with an Android SDK. CI checks what it can of it with
// Maven and aapt2 (pom.xml, check/); see the README, "On phones".
pluginManagement {
    repositories {
        google()
        mavenCentral()
    }
}
dependencyResolutionManagement {
    repositoriesMode = RepositoriesMode.FAIL_ON_PROJECT_REPOS
    repositories {
        google()
        mavenCentral()
    }
}
rootProject.name = "hosewright"
include(":app")
