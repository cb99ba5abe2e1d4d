package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.hosewright.core.PageOf
import org.hosewright.core.SetAnswer
import org.hosewright.core.Touch

/** Every hose: by verdict, or by what is known of it. */
class HosesActivity : OnePage() {
    override fun of() = PageOf.Hoses
    override val name get() = say.hoses

    override fun build(on: Sheet) {
        trouble(on, screen)
        val list = screen.shown.hoses ?: return
        on.field("find", say.find, list.typed) { typed ->
            if (typed.trim() != screen.shown.hoses?.typed) screen.touch(Touch.Find(typed))
        }
        on.segments(list.verdicts.map { way ->
            Segment("verdict-${way.verdict}", way.verdict, way.word, way.hoses, way.words, way.chosen) {
                forgetTyped()
                screen.touch(Touch.OfVerdict(way.verdict))
            }
        })
        on.said(list.words)
        for (hose in list.hoses) on.hose(hose.code, hose) { answer(hose.code) }
        if (list.more) on.button("more", say.more) { screen.touch(Touch.More(list.hoses.size.toULong())) }
        if (list.hoses.isNotEmpty()) on.button("tags", say.printTags) { startActivity(form(FormOf.Tags(null))) }
    }
}

/** Every set. */
class SetsActivity : OnePage() {
    override fun of() = PageOf.Sets
    override val name get() = say.sets

    override fun build(on: Sheet) {
        trouble(on, screen)
        on.next("new-set", say.newSet) { startActivity(form(FormOf.NewSet)) }
        for (set in screen.shown.sets.orEmpty()) {
            val worst = set.worst
            val then = { startActivity(Intent(this, SetActivity::class.java).putExtra(SET, set.name)) }
            if (worst == null) on.way(set.name, set.name, set.words) { then() }
            else on.signed(set.name, worst, HoseActivity.word(worst), set.words, name = set.name) { then() }
        }
    }
}

/** A set, port by port. */
class SetActivity : OnePage() {
    override fun of() = PageOf.Set(intent.getStringExtra(SET).orEmpty())
    override val name get() = say.sets

    override fun build(on: Sheet) {
        val shown = screen.shown.set
        val answer = shown?.answer ?: screen.shown.setTag
        answer?.let { answer(on, it) }
        trouble(on, screen)
        if (shown == null) return
        title = shown.title
        shown.next?.let { next -> on.next("rental", next.words) { follow(next) } }
        for (port in shown.ports) {
            val hose = port.hose
            if (hose == null) on.words("${port.port}: ${port.holds}")
            else on.hose(port.port, hose) { answer(hose.code) }
        }
        screen.shown.picture?.let { on.picture(it) }
        on.buttons(shown.actions.map { Triple("do-${it.words}", it.words) { follow(it) } })
    }

    /** What the set's own tag answers: its status, and what is known against the set itself. */
    private fun answer(on: Sheet, answer: SetAnswer) {
        on.verdict(answer.verdict, answer.word, emptyList(), answer.words.ifEmpty { answer.meaning }, listOf(answer.name))
        on.words(answer.line)
        answer.reasons.forEachIndexed { at, reason ->
            on.signed("reason-$at", reason.verdict, HoseActivity.word(reason.verdict), reason.words, reason.todo)
        }
        if (!answer.onRecord) on.quiet(answer.caution)
    }
}

/** What is due. */
class DueActivity : OnePage() {
    override fun of() = PageOf.Due
    override val name get() = say.due

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
            on.way("${row.code}-${row.name}", row.name, row.facts) { answer(row.code) }
        }
        list.leftOut?.let { on.words(it) }
    }
}

/** The hoses in stock that can take a hose's place; another one is scanned. */
class StockActivity : OnePage() {
    private val old get() = intent.getStringExtra(CODE).orEmpty()

    override fun of() = PageOf.Stock(old)
    override val name get() = say.hoses
    override val cancels get() = true

    override fun build(on: Sheet) {
        trouble(on, screen)
        screen.shown.stock?.let { stock ->
            title = stock.title
            on.heading(stock.named)
            if (stock.words.isNotEmpty()) on.words(stock.words)
            for (hose in stock.hoses) on.hose(hose.code, hose) { startActivity(form(FormOf.Swap(old, hose.code))) }
            stock.cautions.forEach { on.quiet(it) }
        }
        on.next("scan", say.scan) {
            startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(FIND, true), NEW_HOSE)
        }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val new = data?.getStringExtra(CODE) ?: return
        if (request == NEW_HOSE && result == RESULT_OK) startActivity(form(FormOf.Swap(old, new)))
    }

    private companion object {
        const val NEW_HOSE = 1
    }
}
