package org.hosewright.companion

import org.hosewright.core.Salvaged
import org.hosewright.core.salvageLead

/** Saving what can be read of a damaged record into a new one. */
class SalvageScreen(private val desk: Desk) : Screen<Salvaged>(desk) {
    /** What is said before. */
    val lead: String get() = salvageLead()

    /** How far it is; none before it begins. */
    var progress: String? = null
        private set

    /** Begins. The damaged file is not changed, and set aside in the end. */
    fun begin() {
        val told = desk.progress { progress = it; onChange() }
        repair({ desk.salvage(told, it) }) { shown = it }
    }
}
