package org.hosewright.app

import android.app.Activity
import android.app.AlertDialog
import android.text.InputType
import android.widget.EditText
import android.widget.FrameLayout

/** Asks for a word in between. */
class Ask(private val activity: Activity) {
    /** A text; an empty one counts as no answer. */
    fun text(name: Int, then: (String) -> Unit) {
        val field = EditText(activity).apply {
            inputType = InputType.TYPE_CLASS_TEXT
            textSize = 20f
            hint = activity.getString(name)
            minHeight = resources.getDimensionPixelSize(R.dimen.touch)
        }
        AlertDialog.Builder(activity)
            .setTitle(name)
            .setView(FrameLayout(activity).apply {
                val edge = resources.getDimensionPixelSize(R.dimen.edge)
                setPadding(edge, 0, edge, 0)
                addView(field)
            })
            .setPositiveButton(R.string.save) { _, _ ->
                field.text.toString().trim().takeIf { it.isNotEmpty() }?.let(then)
            }
            .setNegativeButton(android.R.string.cancel, null)
            .show()
    }

    /** One of several. */
    fun one(name: Int, of: List<String>, then: (String) -> Unit) {
        AlertDialog.Builder(activity)
            .setTitle(name)
            .setItems(of.toTypedArray()) { _, at -> then(of[at]) }
            .setNegativeButton(android.R.string.cancel, null)
            .show()
    }
}
