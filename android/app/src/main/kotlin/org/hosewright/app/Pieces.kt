package org.hosewright.app

import android.content.Context
import android.graphics.Paint
import android.graphics.Typeface
import android.text.SpannableStringBuilder
import android.text.Spanned
import android.text.style.StyleSpan
import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.widget.Button
import android.widget.LinearLayout
import android.widget.TextView

/** What a page is put together from: letters, buttons and rows, each as large as it has to be. */
open class Pieces(protected val context: Context) {
    protected val resources = context.resources
    protected val grounds = Grounds(context)

    /** Letters so large that two things do not stand side by side. */
    protected val large = resources.configuration.fontScale >= LARGE

    protected fun made(key: String, words: CharSequence, main: Boolean, then: () -> Unit) =
        Button(context).apply {
            text = broken(words)
            isAllCaps = false
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            typeface = Typeface.DEFAULT_BOLD
            setTextColor(context.getColor(if (main) R.color.on_action else R.color.text))
            background = if (main) grounds.main() else grounds.touched(R.color.card)
            stateListAnimator = null
            minHeight = size(R.dimen.touch)
            minimumHeight = size(R.dimen.touch)
            tag = key
            padded()
            setOnClickListener { then() }
        }

    protected fun text(words: CharSequence, size: Int, colour: Int, bold: Boolean = false) =
        TextView(context).apply {
            text = broken(words)
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(size))
            setTextColor(context.getColor(colour))
            if (bold) typeface = Typeface.DEFAULT_BOLD
        }

    protected fun row(sign: View, side: Int, beside: View) =
        LinearLayout(context).apply {
            orientation = LinearLayout.HORIZONTAL
            gravity = Gravity.CENTER_VERTICAL
            addView(sign, LinearLayout.LayoutParams(side, side).apply { marginEnd = size(R.dimen.gap) })
            addView(beside, LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.WRAP_CONTENT, 1f))
        }

    /** Large letters leave no room for a tag's code or a long word in one line: it may end after a hyphen. */
    protected fun broken(words: CharSequence): CharSequence {
        if (!large) return words
        val all = SpannableStringBuilder(words)
        for (hyphen in HYPHEN.findAll(words).toList().asReversed()) all.insert(hyphen.range.last + 1, MAY_BREAK)
        return all
    }

    protected fun strong(words: CharSequence) =
        SpannableStringBuilder(words).apply { setSpan(StyleSpan(Typeface.BOLD), 0, length, Spanned.SPAN_EXCLUSIVE_EXCLUSIVE) }

    protected fun TextView.wide(words: String) = Paint(paint).measureText(words)

    /** Room around what is on a ground, besides its broad edge and its narrow ones. */
    protected fun View.padded(edge: Int = 0, narrow: Int = 0) {
        val gap = size(R.dimen.gap)
        setPaddingRelative(gap + dp(edge), gap + dp(narrow), gap + dp(narrow), gap + dp(narrow))
    }

    protected fun View.touched(then: () -> Unit) {
        minimumHeight = size(R.dimen.touch)
        isClickable = true
        setOnClickListener { then() }
    }

    protected fun dp(of: Int) = (resources.displayMetrics.density * of).toInt()

    protected fun size(of: Int) = resources.getDimensionPixelSize(of)

    companion object {
        /** From here on two things do not stand side by side. */
        const val LARGE = 1.4f

        /** A hyphen within a word or a code; not one of a date or a thread's size. */
        private val HYPHEN = Regex("(?<=[0-9A-Z]{4}|[a-z])-(?=[0-9A-Z]{4}|[0-9A-Z]\\b|[a-z])")

        /** A space of no width, at which a line may end. */
        private const val MAY_BREAK = "\u200B"
    }
}
