package org.hosewright.app

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.Typeface
import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.widget.LinearLayout
import android.widget.Space
import android.widget.TextView
import org.hosewright.core.Verdict

/** One of several that can be chosen. */
class Segment(
    val key: String,
    val verdict: Verdict?,
    val word: String,
    val number: String,
    /** What a screen reader says of it. */
    val words: String,
    val chosen: Boolean,
    val then: () -> Unit,
)

/**
 * One of several, side by side as far as they have room: each with the sign of its verdict,
 * if it has one, over its word and number. The chosen one has a broad frame and bold letters.
 */
@SuppressLint("ViewConstructor") // It stands in no layout file.
class Segments(context: Context, each: List<Segment>) : LinearLayout(context) {
    private val grounds = Grounds(context)
    private val between = dp(4)

    init {
        orientation = VERTICAL
        val room = resources.displayMetrics.widthPixels - 2 * resources.getDimensionPixelSize(R.dimen.edge)
        val made = each.map(::made)
        val widest = made.maxOf {
            it.measure(MeasureSpec.UNSPECIFIED, MeasureSpec.UNSPECIFIED)
            it.measuredWidth
        }
        val beside = ((room + between) / (widest + between)).coerceIn(1, each.size)
        made.chunked(beside).forEachIndexed { at, line -> addView(line(line, beside), below(at > 0)) }
    }

    private fun below(another: Boolean) =
        LayoutParams(LayoutParams.MATCH_PARENT, LayoutParams.WRAP_CONTENT).apply { if (another) topMargin = between }

    private fun line(of: List<View>, beside: Int) =
        LinearLayout(context).apply {
            // A shorter line keeps their width.
            for ((at, view) in (of + List(beside - of.size) { Space(context) }).withIndex()) {
                val place = LayoutParams(0, LayoutParams.MATCH_PARENT, 1f)
                if (at > 0) place.marginStart = between
                addView(view, place)
            }
        }

    private fun made(of: Segment) =
        LinearLayout(context).apply {
            orientation = VERTICAL
            gravity = Gravity.CENTER
            val (side, own) = resources.getDimensionPixelSize(R.dimen.sign_small) to LayoutParams.WRAP_CONTENT
            of.verdict?.let { addView(SignView(context, it), LayoutParams(side, side)) }
            for (words in listOf(of.word, of.number)) addView(text(words, of.chosen), LayoutParams(own, own))
            contentDescription = of.words
            isSelected = of.chosen
            background = grounds.touched(R.color.card, of.chosen)
            setPadding(between, 2 * between, between, 2 * between)
            minimumHeight = resources.getDimensionPixelSize(R.dimen.touch)
            tag = of.key
            isFocusable = true
            setOnClickListener { of.then() }
        }

    private fun text(words: String, bold: Boolean) =
        TextView(context).apply {
            text = words
            isSingleLine = true
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            setTextColor(context.getColor(R.color.text))
            if (bold) typeface = Typeface.DEFAULT_BOLD
            importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
        }

    private fun dp(of: Int) = (resources.displayMetrics.density * of).toInt()
}
