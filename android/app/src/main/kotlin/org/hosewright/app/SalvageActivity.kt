package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.SalvageScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.say

/** Saving what can be read of a damaged record. */
class SalvageActivity : Page() {
    private val screen by lazy { SalvageScreen(desk) }

    override val screens: List<Screen<*>> get() = listOf(screen)
    override val name get() = say.salvage

    override fun onResume() {
        super.onResume()
        show()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        val saved = screen.shown
        when {
            saved != null -> {
                on.said(saved.words.joinToString("\n"))
                on.next("finished", say.finished) {
                    startActivity(Intent(this, ScanActivity::class.java).addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
                    finish()
                }
            }
            screen.asking > 0 -> on.quiet(screen.progress ?: say.asking)
            else -> {
                on.words(screen.lead)
                on.next("begin", say.salvage) { screen.begin() }
            }
        }
    }
}
