package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.say
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** Saving what can be read of a damaged record. */
class SalvageActivity : OnePage() {
    override fun of() = PageOf.Salvage
    override val name get() = say.salvage

    override fun build(on: Sheet) {
        trouble(on, screen)
        when {
            screen.shown.salvaged != null -> {
                on.said(screen.shown.said.joinToString("\n"))
                on.next("finished", say.finished) {
                    startActivity(Intent(this, ScanActivity::class.java).addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
                    finish()
                }
            }
            screen.asking > 0 -> on.quiet(screen.progress ?: say.asking)
            else -> {
                screen.shown.said.forEach { on.words(it) }
                on.next("begin", say.salvage) { screen.touch(Touch.Begin) }
            }
        }
    }
}
