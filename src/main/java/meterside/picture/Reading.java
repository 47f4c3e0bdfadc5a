package meterside.picture;

/** What the bytes of one file turned out to be. */
public sealed interface Reading permits NotAPicture, Picture {}
