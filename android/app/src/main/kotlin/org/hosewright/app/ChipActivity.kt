package org.hosewright.app

import org.hosewright.companion.say
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** Writing a hose's tag on a chip. */
class ChipActivity : OnePage() {
    private val chips by lazy { Chips(this) }

    override fun of() = PageOf.Chip(intent.getStringExtra(CODE).orEmpty())
    override val name get() = say.writeChip
    override val cancels get() = true

    override fun onResume() {
        super.onResume()
        chips.obstacle()?.let { screen.hindered(it) }
        chips.listen { tag ->
            Chips.chipOf(tag)?.let { chip -> app.main.execute { screen.near(chip) } }
        }
    }

    override fun onPause() {
        chips.stop()
        super.onPause()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        if (screen.shown.awaitsChip) {
            // If no chip can be reached, none is to be held there.
            val reached = screen.shown.trouble?.obstacle !in setOf(Obstacle.NO_CHIPS, Obstacle.CHIPS_OFF)
            if (reached && screen.shown.question == null) on.words(if (screen.asking > 0) say.asking else say.holdChip)
        } else {
            on.said(screen.shown.said.joinToString("\n"))
            on.button("another", say.anotherChip) { screen.touch(Touch.AnotherChip) }
            on.next("finished", say.finished) { finish() }
        }
    }
}
