package org.hosewright.companion

import org.hosewright.core.Welcome

/** The greeting of a record that has no hose yet; nothing if it has one. */
class WelcomeScreen(desk: Desk) : Screen<Welcome>(desk) {
    /** Asks whether there is a hose on record, when the first page is looked at. */
    fun load() = ask({ logbook, _ -> Greeting(logbook.welcome()) }) { shown = it.welcome }

    private class Greeting(val welcome: Welcome?)
}
