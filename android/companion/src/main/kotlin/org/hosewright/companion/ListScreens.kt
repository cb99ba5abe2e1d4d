package org.hosewright.companion

import org.hosewright.core.DueList
import org.hosewright.core.Picture
import org.hosewright.core.SetLine
import org.hosewright.core.SetShown

/** Every set. */
class SetsScreen(desk: Desk) : Screen<List<SetLine>>(desk) {
    /** Asks for them. */
    fun load() = ask({ logbook, moment -> logbook.sets(moment) }) { shown = it }
}

/** A set, port by port, and as it sits. */
class SetScreen(desk: Desk, private val name: String) : Screen<SetShown>(desk) {
    /** The set drawn as it sits, once it was asked for. */
    var picture: Picture? = null
        private set

    /** Asks for it. */
    fun load() =
        ask({ logbook, moment -> Pair(logbook.set(name, moment), logbook.setPicture(name, moment)) }) {
            shown = it.first
            picture = it.second
        }
}

/** What is due. */
class DueScreen(desk: Desk) : Screen<DueList>(desk) {
    /** Asks for what is due within a time, as `90d` or `1y`. */
    fun load(within: String? = null) = ask({ logbook, moment -> logbook.due(within, moment) }) { shown = it }
}
