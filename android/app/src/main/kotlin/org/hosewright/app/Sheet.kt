package org.hosewright.app

import android.content.Context
import android.content.res.ColorStateList
import android.graphics.Bitmap
import android.graphics.Typeface
import android.text.Editable
import android.text.InputType
import android.text.SpannableStringBuilder
import android.text.TextWatcher
import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.view.inputmethod.EditorInfo
import android.widget.CheckBox
import android.widget.EditText
import android.widget.ImageView
import android.widget.LinearLayout
import android.widget.RadioButton
import android.widget.TextView
import org.hosewright.core.Picture
import org.hosewright.core.Verdict

/** Puts words, signs and buttons on a page, each large enough to read and to touch. */
class Sheet(
    context: Context,
    private val column: LinearLayout,
    /** Under the column, within the thumb's reach, whatever is scrolled; none if the screen is too low. */
    private val foot: LinearLayout?,
    /** What is in fields and not handed on yet. */
    private val typed: MutableMap<String, String>,
    private val told: Told,
    /** Whether a field that loses the focus was left by the person. */
    private val left: () -> Boolean,
) : Pieces(context) {
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

    /** How far something is, over the button that stops it. That it began is read out, and not each step of it. */
    fun progress(key: String, words: CharSequence) {
        val view = text("", R.dimen.text_body, R.color.text, bold = true)
        view.tag = key
        if (told.isNew(key)) view.accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE
        (foot ?: column).add(view, dp(8))
        view.text = broken(words)
    }

    /** A line with its name. */
    fun line(name: CharSequence, words: CharSequence) = entry(name, words)

    /** Several lines of the same name; nothing if there are none. */
    fun lines(name: CharSequence, each: List<CharSequence>) {
        if (each.isNotEmpty()) line(name, each.joinToString("\n"))
    }

    /** Something and, under it, what is to be said of it. */
    fun entry(name: CharSequence, words: CharSequence) = this.words(strong(name).append("\n").append(words))

    /** What blocks it; it is read out when it comes. */
    fun alert(words: CharSequence, new: Boolean): View =
        told(words, R.color.retire_edge, View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE, new)

    /** What came of something that was done; it is read out when it comes. */
    fun said(words: CharSequence) {
        told(words, R.color.action, View.ACCESSIBILITY_LIVE_REGION_POLITE, told.isNew(words.toString()))
    }

    /** What is to be heeded, and blocks nothing; it is read out when it comes. */
    fun warning(words: CharSequence) {
        told(words, R.color.watch_edge, View.ACCESSIBILITY_LIVE_REGION_POLITE, told.isNew(words.toString()))
    }

    /** What is wrong with the field above; it is read out when it comes. */
    fun wrong(words: CharSequence) {
        told(words, R.color.retire_edge, View.ACCESSIBILITY_LIVE_REGION_POLITE, told.isNew(words.toString()))
    }

    private fun told(words: CharSequence, edge: Int, live: Int, new: Boolean): View {
        val view = text("", R.dimen.text_body, R.color.text, bold = true)
        view.background = grounds.edged(R.color.card, edge, 10, 2)
        view.padded(10)
        if (new) view.accessibilityLiveRegion = live
        column.add(view)
        // What changes once it is there is read out.
        view.text = broken(words)
        return view
    }

    /**
     * The verdict: shape and word, under it what is asked first of any hose, in large
     * letters, then what it means and for [which] hose, over a third of the screen.
     */
    fun verdict(verdict: Verdict, word: String, asked: List<String>, meaning: String, which: List<String>) {
        val title = text(word.uppercase(), R.dimen.text_verdict, R.color.text, bold = true)
        val (edge, narrow, side) = Triple(14, 4, size(R.dimen.sign))
        val room = resources.displayMetrics.widthPixels - 2 * size(R.dimen.edge) - dp(edge + narrow) - 2 * size(R.dimen.gap)
        val wide = title.wide(word.uppercase())
        if (wide > room) title.setTextSize(TypedValue.COMPLEX_UNIT_PX, title.textSize * room / wide)
        title.includeFontPadding = false
        val beside = title
        // Letters that leave no room beside the sign stand under it.
        val over = side + size(R.dimen.gap) + wide > room
        val sign = SignView(context, verdict)
        val top = if (over) {
            LinearLayout(context).apply {
                orientation = LinearLayout.VERTICAL
                addView(sign, LinearLayout.LayoutParams(side, side))
                addView(beside)
            }
        } else {
            row(sign, side, beside)
        }
        val whole = LinearLayout(context).apply {
            orientation = LinearLayout.VERTICAL
            gravity = Gravity.CENTER_VERTICAL
            val apart = LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, LinearLayout.LayoutParams.WRAP_CONTENT)
            addView(top, apart.apply { bottomMargin = size(R.dimen.gap) })
            asked.forEach { addView(text(it, R.dimen.text_asked, R.color.text)) }
            addView(text(meaning, R.dimen.text_body, R.color.text))
            addView(text(which.first(), R.dimen.text_body, R.color.text, bold = true).apply { typeface = Typeface.create(Typeface.MONOSPACE, Typeface.BOLD) })
            which.drop(1).forEach { addView(text(it, R.dimen.text_body, R.color.text)) }
            for (at in 0 until childCount) getChildAt(at).importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO_HIDE_DESCENDANTS
            background = grounds.edged(grounds.of(verdict), grounds.edge(verdict), edge, narrow)
            padded(edge, narrow)
            minimumHeight = resources.displayMetrics.heightPixels / 3
            tag = "verdict"
            isFocusable = true
            Page.heading(this)
        }
        // A screen reader hears one thing and not five.
        val all = "$word. $meaning ${(which + asked).joinToString(", ")}"
        if (told.isNew(all)) whole.accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE
        column.add(whole)
        whole.contentDescription = all
    }

    /**
     * Words beside the small sign of a verdict, under their [name] if they have one, with
     * what to do; touched where [then] is given.
     */
    fun signed(key: String, verdict: Verdict, word: String, words: CharSequence, todo: String = "", name: String = "", then: (() -> Unit)? = null) {
        val all = if (name.isEmpty()) SpannableStringBuilder(words) else strong(name).append("\n").append(words)
        if (todo.isNotEmpty()) all.append("\n").append(strong("→ $todo"))
        val row = row(SignView(context, verdict), size(R.dimen.sign_small), text(all, R.dimen.text_body, R.color.text))
        row.tag = key
        row.getChildAt(1).importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
        row.contentDescription = listOf(word, name, words, todo).filter { it.isNotEmpty() }.joinToString(". ")
        val ground = grounds.edged(grounds.of(verdict), grounds.edge(verdict), 10)
        row.isFocusable = true
        if (then == null) {
            row.background = ground
        } else {
            row.background = grounds.answering(ground)
            row.touched(then)
            row.addView(text("›", R.dimen.text_heading, R.color.text, bold = true).apply {
                setPaddingRelative(size(R.dimen.gap), 0, 0, 0)
                importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
            })
        }
        row.padded(10)
        column.add(row)
    }

    /** A view of the page's own, which is the same however often the page is built. */
    fun own(view: View) = column.add(view)

    /** A picture, as wide as the page. */
    fun picture(picture: Picture) = column.add(PictureView(context, picture))

    /** A photograph, as wide as the page, with what it shows under it; a screen reader hears that once. */
    fun photograph(bitmap: Bitmap?, name: CharSequence, words: CharSequence) {
        if (bitmap == null) return entry(name, words)
        image(bitmap, "$words. $name", dp(4))
        val caption = text(strong(name).append("\n").append(words), R.dimen.text_body, R.color.text)
        caption.importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
        column.add(caption)
    }

    /** A picture of pixels, as wide as the page. */
    fun image(bitmap: Bitmap, words: CharSequence, below: Int = size(R.dimen.gap)) {
        val view = ImageView(context).apply {
            setImageBitmap(bitmap)
            adjustViewBounds = true
            contentDescription = words
        }
        column.add(view, below)
    }

    /** Something that leads to its own page: its name, and what is to be said of it. */
    fun way(key: String, name: CharSequence, words: CharSequence, then: () -> Unit) {
        val view = text(strong(name).append("\n").append(words), R.dimen.text_body, R.color.text)
        view.tag = key
        view.background = grounds.touched(R.color.card)
        view.padded()
        view.isFocusable = true
        view.touched(then)
        column.add(view)
    }

    /** A button. */
    fun button(key: String, words: CharSequence, main: Boolean = false, then: () -> Unit) =
        column.add(made(key, words, main, then))

    /** What is to be done next: it stays within the thumb's reach, whatever is scrolled. */
    fun next(key: String, words: CharSequence, then: () -> Unit) =
        (foot ?: column).add(made(key, words, true, then))

    /** What can be done in its place, as near. */
    fun orNext(key: String, words: CharSequence, then: () -> Unit) =
        (foot ?: column).add(made(key, words, false, then))

    /** What is done next is about this; it stands over the button. */
    fun about(words: CharSequence) =
        (foot ?: column).add(text(words, R.dimen.text_body, R.color.text, bold = true), dp(8))

    /** Buttons of one kind, two in a line where there is room. */
    fun buttons(each: List<Triple<String, CharSequence, () -> Unit>>) {
        for (line in each.chunked(if (large) 1 else 2)) {
            val row = LinearLayout(context)
            line.forEachIndexed { at, (key, words, then) ->
                val place = LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.MATCH_PARENT, 1f)
                if (at > 0) place.marginStart = size(R.dimen.gap)
                row.addView(made(key, words, false, then), place)
            }
            column.add(row)
        }
    }

    /**
     * Something that is chosen or not: said in words and by a mark, not by a colour. One of
     * several has a round mark; what it means for the hose stands beside it as a sign.
     */
    fun choice(key: String, words: CharSequence, chosen: Boolean, one: Boolean = false, verdict: Verdict? = null, then: () -> Unit) {
        val box = (if (one) RadioButton(context) else CheckBox(context)).apply {
            text = words
            if (verdict != null) contentDescription = "$words, ${HoseActivity.word(verdict)}"
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            setTextColor(context.getColor(R.color.text))
            if (chosen) typeface = Typeface.DEFAULT_BOLD
            buttonTintList = ColorStateList.valueOf(context.getColor(R.color.action))
            background = grounds.touched(R.color.card, chosen)
            padded()
            minHeight = size(R.dimen.touch)
            isChecked = chosen
            tag = key
            setOnClickListener {
                // What is chosen is what the record says, once it has said it.
                isChecked = chosen
                then()
            }
        }
        if (verdict == null) return column.add(box)
        val row = row(SignView(context, verdict), size(R.dimen.sign_small), box)
        // Letters that leave no room beside the sign stand under it.
        if (large) {
            row.orientation = LinearLayout.VERTICAL
            row.gravity = Gravity.START
            box.layoutParams = LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, LinearLayout.LayoutParams.WRAP_CONTENT)
        }
        column.add(row)
    }

    /** One of several, side by side as far as they have room. */
    fun segments(each: List<Segment>) = column.add(Segments(context, each))

    /**
     * A field; its text is kept by its key while the page is rebuilt or the phone is turned.
     * The keyboard's own button hands it on, or goes on where [go] says so.
     */
    fun field(
        key: String, name: CharSequence, value: String = "", number: Boolean = false,
        go: ((String) -> Unit)? = null, done: (String) -> Unit,
    ): EditText {
        val label = text(name, R.dimen.text_body, R.color.text, bold = true)
        val field = EditText(context).apply {
            id = key.hashCode() and 0x00FF_FFFF
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            setTextColor(context.getColor(R.color.text))
            minHeight = size(R.dimen.touch)
            inputType = if (number) InputType.TYPE_CLASS_NUMBER else InputType.TYPE_CLASS_TEXT
            val own = if (go == null) EditorInfo.IME_ACTION_DONE else EditorInfo.IME_ACTION_GO
            imeOptions = own
            background = grounds.touched(R.color.card)
            padded()
            setText(typed[key] ?: value)
            isSaveEnabled = false
            tag = key
            addTextChangedListener(Typed { typed[key] = it })
            setOnEditorActionListener { view, action, _ ->
                // A keyboard with keys sends no action with its Enter.
                if (action == own || action == EditorInfo.IME_NULL) (go ?: done)(view.text.toString())
                false
            }
            setOnFocusChangeListener { view, focused ->
                if (!focused && left()) done((view as EditText).text.toString())
            }
        }
        label.labelFor = field.id
        column.add(label, dp(4))
        column.add(field)
        return field
    }

    /** Things that belong together, on a card of their own. */
    fun card(build: Sheet.() -> Unit) {
        val card = LinearLayout(context).apply {
            orientation = LinearLayout.VERTICAL
            background = grounds.card()
            padded()
        }
        Sheet(context, card, foot, typed, told, left).build()
        column.add(card)
    }

    private fun LinearLayout.add(view: View, below: Int = size(R.dimen.gap)) {
        val whole = LinearLayout.LayoutParams.MATCH_PARENT
        addView(view, LinearLayout.LayoutParams(whole, LinearLayout.LayoutParams.WRAP_CONTENT).apply { bottomMargin = below })
    }
}

/** Hears every letter. */
private class Typed(private val heard: (String) -> Unit) : TextWatcher {
    override fun beforeTextChanged(text: CharSequence, start: Int, count: Int, after: Int) {}

    override fun onTextChanged(text: CharSequence, start: Int, before: Int, count: Int) {}

    override fun afterTextChanged(text: Editable) = heard(text.toString())
}
