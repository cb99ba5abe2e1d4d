import HosewrightCore

/// What buttons, headings and fields are called.
public let say = labels()
