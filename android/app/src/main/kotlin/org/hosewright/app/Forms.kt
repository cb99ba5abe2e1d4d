package org.hosewright.app

import android.content.Context
import android.content.Intent
import org.hosewright.core.FormOf
import org.hosewright.core.HoseLine

private const val OF = "of"

/** Leads to a form. */
fun Context.form(of: FormOf): Intent {
    val texts = when (of) {
        is FormOf.Register -> listOf("register", of.tag.orEmpty())
        is FormOf.Hose -> listOf("hose", of.hose, of.form)
        is FormOf.HandOut -> listOf("hand-out", of.set)
        is FormOf.TakeBack -> listOf("take-back", of.set)
        is FormOf.Swap -> listOf("swap", of.old, of.new)
        is FormOf.GiveUp -> listOf("give-up", of.old, of.new)
        is FormOf.Withdraw -> listOf("withdraw", of.hose, of.entry)
        is FormOf.Settings -> listOf("settings")
        is FormOf.Help -> listOf("help")
    }
    return Intent(this, FormActivity::class.java).putStringArrayListExtra(OF, ArrayList(texts))
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
        "settings" -> FormOf.Settings
        "help" -> FormOf.Help
        else -> FormOf.Register(one.ifEmpty { null })
    }
}

/** A hose of a list: where, which, and why it is what it is. */
internal fun HoseLine.inWords(): String {
    val place = port?.let { "$it: " }.orEmpty()
    return listOf("$place$words, $code.", why).filter { it.isNotEmpty() }.joinToString(" ")
}
