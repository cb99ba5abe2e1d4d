package org.hosewright.app

import android.content.Context
import android.graphics.Typeface
import android.graphics.drawable.GradientDrawable
import android.text.Editable
import android.text.InputType
import android.text.TextWatcher
import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.view.inputmethod.EditorInfo
import android.widget.Button
import android.widget.EditText
import android.widget.HorizontalScrollView
import android.widget.LinearLayout
import android.widget.TextView
import org.hosewright.core.Picture
import org.hosewright.core.Verdict

/** Puts words, signs and buttons on a page, each large enough to read and to touch. */
class Sheet(
    private val context: Context,
    private val column: LinearLayout,
    /** What stands in fields and is not handed on yet. */
    private val typed: MutableMap<String, String>,
    /** Whether a field that loses the focus was left by the person. */
    private val left: () -> Boolean,
) {
    private val resources = context.resources

    /** A headline. */
    fun heading(words: CharSequence) {
        val view = text(words, R.dimen.text_heading, R.color.text, bold = true)
        Page.heading(view)
        column.add(view)
    }

    /** A paragraph. */
    fun words(words: CharSequence) = column.add(text(words, R.dimen.text_body, R.color.text))

    /** A paragraph that may be passed over. */
    fun quiet(words: CharSequence) = column.add(text(words, R.dimen.text_body, R.color.quiet))

    /** A line with its name. */
    fun line(name: Int, words: CharSequence) =
        words(context.getString(R.string.line_of, context.getString(name), words))

    /** What stands in the way; it is read out when it comes. */
    fun alert(words: CharSequence) {
        val view = text(words, R.dimen.text_body, R.color.text, bold = true)
        view.background = framed(R.color.ground)
        view.padded()
        view.accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE
        column.add(view)
    }

    /** The verdict: shape, word and meaning, over a third of the screen. */
    fun verdict(verdict: Verdict, word: String, meaning: String, code: String) {
        val sign = SignView(context, verdict)
        val side = size(R.dimen.sign)
        val texts = LinearLayout(context).apply {
            orientation = LinearLayout.VERTICAL
            gravity = Gravity.CENTER_VERTICAL
            addView(text(word.uppercase(), R.dimen.text_verdict, R.color.text, bold = true))
            addView(text(meaning, R.dimen.text_body, R.color.text))
            addView(text(code, R.dimen.text_body, R.color.text).apply { typeface = Typeface.MONOSPACE })
        }
        val row = row(sign, side, texts)
        row.minimumHeight = resources.displayMetrics.heightPixels / 3
        row.tag = "verdict"
        row.isFocusable = true
        // A screen reader hears one thing and not five.
        row.contentDescription = "$word. $meaning $code"
        texts.importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO_HIDE_DESCENDANTS
        row.accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE
        column.add(row)
    }

    /** Words beside the small sign of a verdict; touched where [then] is given. */
    fun signed(key: String, verdict: Verdict, word: String, words: CharSequence, then: (() -> Unit)? = null) {
        val sign = SignView(context, verdict)
        val row = row(sign, size(R.dimen.sign_small), text(words, R.dimen.text_body, R.color.text))
        row.tag = key
        row.contentDescription = "$word. $words"
        if (then != null) {
            row.background = framed(R.color.ground)
            row.padded()
            row.touched(then)
        } else {
            row.isFocusable = true
        }
        column.add(row)
    }

    /** A picture, which is moved to and fro where it is wider than the page; its middle is seen first. */
    fun picture(picture: Picture) {
        val scroll = HorizontalScrollView(context)
        val view = PictureView(context, picture)
        scroll.addView(view)
        scroll.post { scroll.scrollTo((view.width - scroll.width) / 2, 0) }
        column.add(scroll)
    }

    /** A button. */
    fun button(key: String, words: CharSequence, main: Boolean = false, then: () -> Unit) {
        val button = Button(context).apply {
            text = words
            isAllCaps = false
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            setTextColor(context.getColor(if (main) R.color.on_action else R.color.text))
            background = framed(if (main) R.color.action else R.color.ground)
            stateListAnimator = null
            minimumHeight = size(R.dimen.touch)
            minHeight = size(R.dimen.touch)
            tag = key
            padded()
            setOnClickListener { then() }
        }
        column.add(button)
    }

    /** Something that is chosen or not: said in words and by a mark, not by a colour. */
    fun choice(key: String, words: CharSequence, chosen: Boolean, then: () -> Unit) {
        val mark = if (chosen) "☑ " else "☐ "
        val view = text("$mark$words", R.dimen.text_body, R.color.text, bold = chosen)
        view.tag = key
        view.padded()
        view.background = framed(R.color.ground)
        view.contentDescription = words
        view.isSelected = chosen
        view.stateOf(chosen)
        view.touched(then)
        column.add(view)
    }

    /** A field; its text is kept by its key while the page is built anew or the phone is turned. */
    fun field(key: String, name: Int, value: String = "", number: Boolean = false, done: (String) -> Unit): EditText =
        field(key, context.getString(name), value, number, done)

    /** The same, with a name that the core gives. */
    fun field(key: String, name: CharSequence, value: String, number: Boolean = false, done: (String) -> Unit): EditText {
        val label = text(name, R.dimen.text_body, R.color.text)
        val field = EditText(context).apply {
            id = key.hashCode() and 0x00FF_FFFF
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            setTextColor(context.getColor(R.color.text))
            minHeight = size(R.dimen.touch)
            inputType = if (number) InputType.TYPE_CLASS_NUMBER else InputType.TYPE_CLASS_TEXT
            imeOptions = EditorInfo.IME_ACTION_DONE
            background = framed(R.color.ground)
            padded()
            setText(typed[key] ?: value)
            isSaveEnabled = false
            tag = key
            addTextChangedListener(Typed { typed[key] = it })
            setOnEditorActionListener { view, action, _ ->
                if (action == EditorInfo.IME_ACTION_DONE) done(view.text.toString())
                false
            }
            setOnFocusChangeListener { view, focused ->
                if (!focused && left()) done((view as EditText).text.toString())
            }
        }
        label.labelFor = field.id
        column.add(label)
        column.add(field)
        return field
    }

    private fun text(words: CharSequence, size: Int, colour: Int, bold: Boolean = false) =
        TextView(context).apply {
            text = words
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(size))
            setTextColor(context.getColor(colour))
            if (bold) typeface = Typeface.DEFAULT_BOLD
        }

    private fun row(sign: View, side: Int, beside: View) =
        LinearLayout(context).apply {
            orientation = LinearLayout.HORIZONTAL
            gravity = Gravity.CENTER_VERTICAL
            addView(sign, LinearLayout.LayoutParams(side, side).apply { marginEnd = size(R.dimen.gap) })
            addView(beside, LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.WRAP_CONTENT, 1f))
        }

    private fun LinearLayout.add(view: View) {
        val whole = LinearLayout.LayoutParams.MATCH_PARENT
        addView(view, LinearLayout.LayoutParams(whole, LinearLayout.LayoutParams.WRAP_CONTENT).apply { bottomMargin = size(R.dimen.gap) })
    }

    private fun View.padded() {
        val gap = size(R.dimen.gap)
        setPadding(gap, gap, gap, gap)
    }

    private fun View.touched(then: () -> Unit) {
        minimumHeight = size(R.dimen.touch)
        isFocusable = true
        isClickable = true
        setOnClickListener { then() }
    }

    private fun framed(ground: Int) =
        GradientDrawable().apply {
            setColor(context.getColor(ground))
            setStroke(resources.displayMetrics.density.toInt().coerceAtLeast(1) * 2, context.getColor(R.color.line))
            cornerRadius = resources.displayMetrics.density * 8
        }

    private fun View.stateOf(chosen: Boolean) {
        accessibilityDelegate = object : View.AccessibilityDelegate() {
            override fun onInitializeAccessibilityNodeInfo(host: View, info: android.view.accessibility.AccessibilityNodeInfo) {
                super.onInitializeAccessibilityNodeInfo(host, info)
                info.isCheckable = true
                info.isChecked = chosen
            }
        }
    }

    private fun size(of: Int) = resources.getDimensionPixelSize(of)
}

/** Hears every letter. */
private class Typed(private val heard: (String) -> Unit) : TextWatcher {
    override fun beforeTextChanged(text: CharSequence, start: Int, count: Int, after: Int) {}

    override fun onTextChanged(text: CharSequence, start: Int, before: Int, count: Int) {}

    override fun afterTextChanged(text: Editable) = heard(text.toString())
}
