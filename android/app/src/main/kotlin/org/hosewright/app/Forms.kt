package org.hosewright.app

import android.content.Context
import android.content.Intent
import org.hosewright.core.FormOf
import org.hosewright.core.HoseLine
import org.hosewright.core.HoseList

private const val OF = "of"

/** Leads to a form. */
fun Context.form(of: FormOf): Intent = Intent(this, FormActivity::class.java).about(of)

/** Leads to the camera that stays open while the hoses of a form tick off. */
fun Context.ticks(of: FormOf): Intent = Intent(this, ScanActivity::class.java).about(of).putExtra(Page.TICKS, true)

private fun Intent.about(of: FormOf): Intent {
    val texts = when (of) {
        is FormOf.Register -> listOf("register", of.tag.orEmpty())
        is FormOf.Hose -> listOf("hose", of.hose, of.form)
        is FormOf.HandOut -> listOf("hand-out", of.set)
        is FormOf.TakeBack -> listOf("take-back", of.set)
        is FormOf.Swap -> listOf("swap", of.old, of.new)
        is FormOf.GiveUp -> listOf("give-up", of.old, of.new)
        is FormOf.Withdraw -> listOf("withdraw", of.hose, of.entry)
        is FormOf.Set -> listOf("set", of.set, of.form)
        is FormOf.NewSet -> listOf("new-set")
        is FormOf.Tags -> listOfNotNull("tags", of.set)
        is FormOf.Counters -> listOfNotNull("counters", of.symbol)
        is FormOf.Settings -> listOf("settings")
        is FormOf.Help -> listOf("help")
    }
    return putStringArrayListExtra(OF, ArrayList(texts))
}

/** The form to which it leads. */
fun Intent.form(): FormOf {
    val texts = getStringArrayListExtra(OF).orEmpty()
    val (one, two) = texts.getOrElse(1) { "" } to texts.getOrElse(2) { "" }
    return when (texts.firstOrNull()) {
        "hose" -> FormOf.Hose(one, two)
        "hand-out" -> FormOf.HandOut(one)
        "take-back" -> FormOf.TakeBack(one)
        "swap" -> FormOf.Swap(one, two)
        "give-up" -> FormOf.GiveUp(one, two)
        "withdraw" -> FormOf.Withdraw(one, two)
        "set" -> FormOf.Set(one, two)
        "new-set" -> FormOf.NewSet
        "tags" -> FormOf.Tags(one.ifEmpty { null })
        "counters" -> FormOf.Counters(one.ifEmpty { null })
        "settings" -> FormOf.Settings
        "help" -> FormOf.Help
        else -> FormOf.Register(one.ifEmpty { null })
    }
}

/** Whether what a form does can be left, and is not only read. */
internal val FormOf.cancels get() = this !is FormOf.Help

/** A hose of a list; touched where [then] is given. */
internal fun Sheet.hose(key: String, hose: HoseLine, then: (() -> Unit)? = null) =
    signed(key, hose.verdict, HoseActivity.word(hose.verdict), hose.facts, hose.todo, hose.name, then)

/** Hoses under a heading. A sign beside what is still to be scanned would look like a tick. */
internal fun hoses(on: Sheet, list: HoseList) {
    on.heading(list.title)
    for (hose in list.hoses) {
        if (list.open) on.entry(hose.name, hose.facts) else on.hose("${list.title}-${hose.code}", hose)
    }
}
