package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import org.hosewright.companion.DueScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.SetScreen
import org.hosewright.companion.SetsScreen

/** Every set. */
class SetsActivity : Page() {
    private val screen by lazy { SetsScreen(desk) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        for (set in screen.shown.orEmpty()) {
            val words = getString(R.string.port_of, set.name, set.words)
            val worst = set.worst
            val then = { startActivity(Intent(this, SetActivity::class.java).putExtra(SET, set.name)) }
            if (worst == null) on.button(set.name, words) { then() }
            else on.signed(set.name, worst, HoseActivity.word(worst), words) { then() }
        }
    }
}

/** A set, port by port. */
class SetActivity : Page() {
    private val screen by lazy { SetScreen(desk, intent.getStringExtra(SET).orEmpty()) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        title = getString(R.string.set_named, intent.getStringExtra(SET).orEmpty())
    }

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        val shown = screen.shown
        if (shown == null) {
            trouble(on, screen)
            return
        }
        on.words(shown.set.words)
        trouble(on, screen)
        if (shown.set.rental) {
            val to = if (shown.set.out) FormActivity::class.java else HandOutActivity::class.java
            val words = getString(if (shown.set.out) R.string.take_back else R.string.hand_out)
            on.next("rental", words) { startActivity(Intent(this, to).putExtra(SET, shown.set.name)) }
        }
        for (port in shown.ports) {
            val hose = port.hose
            if (hose == null) {
                on.words(getString(R.string.port_of, port.port, port.holds))
            } else {
                on.signed(port.port, hose.verdict, HoseActivity.word(hose.verdict), hose.inWords(), hose.todo) {
                    startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, hose.code))
                }
            }
        }
        screen.picture?.let { on.picture(it) }
    }
}

/** What is due. */
class DueActivity : Page() {
    private val screen by lazy { DueScreen(desk) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        on.buttons(
            listOf(
                Triple("90d", getString(R.string.next_90_days)) { screen.load() },
                Triple("1y", getString(R.string.next_year)) { screen.load("1y") },
            ),
        )
        val list = screen.shown ?: return
        on.heading(list.words)
        for (row in list.rows) {
            on.way("${row.code}-${row.what}", "${row.what}, ${row.`when`}", "${row.code}, ${row.hose}, ${row.place}") {
                startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, row.code))
            }
        }
        list.leftOut?.let { on.words(it) }
    }
}
