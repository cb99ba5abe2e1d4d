package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** Every hose: by verdict, or by what is known of it. */
class HosesActivity : Page() {
    private val screen by lazy { Screen(desk, PageOf.Hoses) }

    override val screens: List<Screen> get() = listOf(screen)
    override val name get() = say.hoses

    override fun onResume() {
        super.onResume()
        screen.touch(Touch.Look)
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        val list = screen.shown.hoses ?: return
        on.field("find", say.find, list.typed) { typed ->
            if (typed.trim() != screen.shown.hoses?.typed) screen.touch(Touch.Find(typed))
        }
        for (way in list.verdicts) {
            on.choice("verdict-${way.verdict}", way.words, way.chosen, one = true, verdict = way.verdict) {
                forgetTyped()
                screen.touch(Touch.OfVerdict(way.verdict))
            }
        }
        on.said(list.words)
        for (hose in list.hoses) {
            on.signed(hose.code, hose.verdict, HoseActivity.word(hose.verdict), hose.inWords()) {
                startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, hose.code))
            }
        }
        if (list.more) on.button("more", say.more) { screen.touch(Touch.More(list.hoses.size.toULong())) }
    }
}

/** Every set. */
class SetsActivity : Page() {
    private val screen by lazy { Screen(desk, PageOf.Sets) }

    override val screens: List<Screen> get() = listOf(screen)
    override val name get() = say.sets

    override fun onResume() {
        super.onResume()
        screen.touch(Touch.Look)
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        for (set in screen.shown.sets.orEmpty()) {
            val words = "${set.name}: ${set.words}"
            val worst = set.worst
            val then = { startActivity(Intent(this, SetActivity::class.java).putExtra(SET, set.name)) }
            if (worst == null) on.button(set.name, words) { then() }
            else on.signed(set.name, worst, HoseActivity.word(worst), words) { then() }
        }
    }
}

/** A set, port by port. */
class SetActivity : Page() {
    private val screen by lazy { Screen(desk, PageOf.Set(intent.getStringExtra(SET).orEmpty())) }

    override val screens: List<Screen> get() = listOf(screen)
    override val name get() = say.sets

    override fun onResume() {
        super.onResume()
        screen.touch(Touch.Look)
    }

    override fun build(on: Sheet) {
        val shown = screen.shown.set
        if (shown == null) {
            trouble(on, screen)
            return
        }
        title = shown.title
        on.words(shown.set.words)
        trouble(on, screen)
        shown.next?.let { next -> on.next("rental", next.words) { follow(next) } }
        for (port in shown.ports) {
            val hose = port.hose
            if (hose == null) {
                on.words("${port.port}: ${port.holds}")
            } else {
                on.signed(port.port, hose.verdict, HoseActivity.word(hose.verdict), hose.inWords(), hose.todo) {
                    startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, hose.code))
                }
            }
        }
        screen.shown.picture?.let { on.picture(it) }
    }
}

/** What is due. */
class DueActivity : Page() {
    private val screen by lazy { Screen(desk, PageOf.Due) }

    override val screens: List<Screen> get() = listOf(screen)
    override val name get() = say.due

    override fun onResume() {
        super.onResume()
        screen.touch(Touch.Look)
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        on.buttons(
            listOf(
                Triple("90d", say.next90Days) { screen.touch(Touch.Within(null)) },
                Triple("1y", say.nextYear) { screen.touch(Touch.Within("1y")) },
            ),
        )
        val list = screen.shown.due ?: return
        on.heading(list.words)
        for (row in list.rows) {
            on.way("${row.code}-${row.what}", "${row.what}, ${row.`when`}", "${row.code}, ${row.hose}, ${row.place}") {
                startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, row.code))
            }
        }
        list.leftOut?.let { on.words(it) }
    }
}
