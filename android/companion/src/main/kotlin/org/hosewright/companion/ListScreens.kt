package org.hosewright.companion

import org.hosewright.core.DueList
import org.hosewright.core.SetLine
import org.hosewright.core.SetShown

/** Every set. */
class SetsScreen(desk: Desk) : Screen<List<SetLine>>(desk) {
    /** Asks for them. */
    fun load() = ask({ logbook, moment -> logbook.sets(moment) }) { shown = it }
}

/** A set, port by port. */
class SetScreen(desk: Desk, private val name: String) : Screen<SetShown>(desk) {
    /** Asks for it. */
    fun load() = ask({ logbook, moment -> logbook.set(name, moment) }) { shown = it }
}

/** What is due. */
class DueScreen(desk: Desk) : Screen<DueList>(desk) {
    /** Asks for what is due within a time, as `90d` or `1y`. */
    fun load(within: String? = null) = ask({ logbook, moment -> logbook.due(within, moment) }) { shown = it }
}
