package org.hosewright.app

import org.hosewright.companion.ChipScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.Obstacle

/** Writing a hose's tag on a chip. */
class ChipActivity : Page() {
    private val screen by lazy { ChipScreen(desk, intent.getStringExtra(CODE).orEmpty()) }
    private val chips by lazy { Chips(this) }

    override val screens: List<Screen<*>> get() = listOf(screen)
    override val name get() = say.writeChip

    override fun onResume() {
        super.onResume()
        chips.obstacle()?.let { screen.obstacle(it) } ?: screen.dismiss()
        chips.listen { tag ->
            Chips.chipOf(tag)?.let { chip -> app.main.execute { if (screen.waiting && screen.asking == 0) screen.near(chip) } }
        }
    }

    override fun onPause() {
        chips.stop()
        super.onPause()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        if (screen.trouble?.askOverwrite == true) {
            on.button("overwrite", say.overwrite) { screen.overwrite() }
        }
        val written = screen.shown
        if (written == null) {
            // If no chip can be reached, none is to be held there.
            val reached = screen.trouble?.obstacle !in setOf(Obstacle.NO_CHIPS, Obstacle.CHIPS_OFF)
            if (reached) on.words(if (screen.asking > 0) say.asking else say.holdChip)
        } else {
            on.said(written.words)
            on.button("another", say.anotherChip) { screen.anew() }
            on.next("finished", say.finished) { finish() }
        }
    }
}
